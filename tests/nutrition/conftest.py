"""Property tests of this folder run a fixed number of examples, however busy the machine is."""

from hypothesis import settings

# The totals of a few foods are hundreds of sums; a deadline would measure the machine instead.
settings.register_profile("nutrition", deadline=None, max_examples=60)
settings.load_profile("nutrition")
