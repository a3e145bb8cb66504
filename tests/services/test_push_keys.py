import stat
from concurrent.futures import ThreadPoolExecutor

from homeprogram.calc.base64url import unpacked
from homeprogram.services import push_keys


def test_a_key_pair_is_made_once_and_kept_for_this_user_alone(settings, tmp_path):
    settings.VAR = tmp_path / "var"

    first, again = push_keys.private_key(), push_keys.private_key()

    kept = settings.VAR / "push-key"
    assert first == again == kept.read_text()
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    assert len(unpacked(first)) == 32


def test_processes_that_start_at_once_share_one_pair(settings, tmp_path):
    settings.VAR = tmp_path / "var"

    with ThreadPoolExecutor(8) as pool:
        found = set(pool.map(lambda _: push_keys.private_key(), range(16)))

    assert len(found) == 1
    assert [one.name for one in settings.VAR.iterdir()] == ["push-key"]


def test_machines_share_a_pair_through_a_setting(settings, tmp_path):
    settings.VAR = tmp_path / "var"
    # RFC 8291, appendix A: the sender's pair.
    settings.PUSH_KEY = "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw"

    assert push_keys.public_key() == (
        "BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8"
    )
    assert not settings.VAR.exists()


def test_without_the_extra_there_is_no_key_and_no_file(settings, tmp_path, monkeypatch):
    settings.VAR = tmp_path / "var"
    monkeypatch.setattr(push_keys, "find_spec", lambda _: None)

    assert push_keys.public_key() is None
    assert not settings.VAR.exists()
