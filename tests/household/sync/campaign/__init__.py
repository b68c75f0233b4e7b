"""The sync fault campaign: phones in plain Python against the real server, under every fault.

``store``, ``syncing`` and ``phone`` are the phone, by the rules of ``frontend/src/db``. ``world``
puts three of them, their people, a network that loses and delays, and a server that is restored and
upgraded together; ``rules`` are what may happen, with plain arguments; ``truth`` knows what was
really on the screens; ``invariants`` and ``settling`` say what must hold. ``walker`` and
``machine`` play the rules, ``shrinking`` makes a failing trace short, ``plants`` breaks one rule at
a time to see whether anybody notices. Run it by hand with
``python -m tests.household.sync.campaign``.
"""
