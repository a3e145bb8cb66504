"""Every broken design there is."""

from tests.simulation import mutants_phone, mutants_server

MUTANTS = [*mutants_phone.MUTANTS, *mutants_server.MUTANTS]
