"""Monthly counts, as a table and as CSV."""

import csv
from datetime import date, timedelta

from django.http import HttpRequest, HttpResponse

from clinician.selectors.months import COLUMNS, month_csv, month_rows
from clinician.views.base import DeskMixin, DeskPage
from homeprogram.calc.days import local_day, zone_or_utc


class _Month(DeskMixin):
    """`?month=2030-03`; anything else is the month that runs."""

    @property
    def today(self) -> date:
        return local_day(self.now, zone_or_utc(self.clinic.zone))

    @property
    def month(self) -> date:
        try:
            asked = date.fromisoformat(f"{self.request.GET.get('month', '')}-01")
        except ValueError:
            asked = self.today
        return min(max(asked, date(2000, 1, 1)), self.today).replace(day=1)


class MonthsView(_Month, DeskPage):
    template_name = "clinician/months.html"
    area = "months"

    def get_context_data(self, **kwargs) -> dict:
        month = self.month
        after = (month + timedelta(days=32)).replace(day=1)
        return super().get_context_data(
            month=month,
            before=month - timedelta(days=1),
            after=after if after <= self.today else None,
            running=month == self.today.replace(day=1),
            columns=[name for _, name in COLUMNS],
            rows=month_rows(clinic=self.clinic, month=month),
            **kwargs,
        )


class MonthsFileView(_Month):
    http_method_names = ("get", "head", "options")

    def get(self, request: HttpRequest, **kwargs) -> HttpResponse:
        month = self.month
        name = f"monthly-counts-{month:%Y-%m}.csv"
        response = HttpResponse(
            content_type="text/csv; charset=utf-8",
            headers={"Content-Disposition": f'attachment; filename="{name}"'},
        )
        rows = month_rows(clinic=self.clinic, month=month)
        csv.writer(response).writerows(month_csv(rows, month))
        return response
