import pytest

from tests.support.push_service import PushService, Receiver


@pytest.fixture
def service(tmp_path):
    with PushService(tmp_path / "push-service").open() as running:
        yield running


@pytest.fixture
def receiver():
    return Receiver()


@pytest.fixture
def subscription(phone, receiver, now):
    from homeprogram.services.subscriptions import subscription_record

    told = receiver.subscription()
    return subscription_record(phone=phone.row, endpoint=told["endpoint"], now=now, **told["keys"])
