"""How often each rule's flags led to something: for everybody who closes them."""

from clinician.selectors.rule_outcomes import goal, in_percent, rule_lines
from clinician.views.base import DeskPage
from homeprogram.calc.acted_on import FEWEST, FLOOR, WEEKS


class RuleOutcomesView(DeskPage):
    template_name = "clinician/rule_outcomes.html"
    area = "outcomes"

    def get_context_data(self, **kwargs) -> dict:
        lines = rule_lines(clinic=self.clinic, now=self.now)
        said = {"goal": goal(), "floor": in_percent(FLOOR), "weeks": WEEKS, "fewest": FEWEST}
        return super().get_context_data(lines=lines, **said, **kwargs)
