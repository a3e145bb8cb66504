"""The panel of all current patients."""

from clinician.selectors.order import EXPLAINED
from clinician.selectors.panel import STRIP_DAYS, panel_groups
from clinician.selectors.strip import LEGEND
from clinician.views.base import DeskPage


class PanelView(DeskPage):
    """One row per patient, gravest first."""

    template_name = "clinician/panel.html"
    area = "panel"

    def get_context_data(self, **kwargs) -> dict:
        groups = panel_groups(clinic=self.clinic, now=self.now)
        return super().get_context_data(
            groups=groups,
            total=sum(len(group.rows) for group in groups),
            legend=LEGEND,
            days=STRIP_DAYS,
            order=EXPLAINED,
            **kwargs,
        )
