from django.apps import AppConfig


class PeerServerConfig(AppConfig):
    name = "tests.benchmarks.sync.peer_server"
    label = "peer_server"
