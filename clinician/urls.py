"""The desk, mounted under /desk/."""

from django.urls import path

from clinician.views.calendar_file import CalendarFileView
from clinician.views.clinic import (
    ClinicCourseView,
    ClinicHistoryView,
    ClinicSettingsView,
    ClinicTextsView,
    ClinicView,
    PastRecordsView,
)
from clinician.views.contact import ContactCorrectView, ContactRecordView
from clinician.views.course import (
    PauseEndView,
    ProgramPauseView,
    StimulatorSetView,
)
from clinician.views.course_numbers import CourseNumbersFileView, CourseNumbersView
from clinician.views.discharge import (
    DischargeLetterView,
    EpisodeDischargeView,
    EpisodeReopenView,
)
from clinician.views.draft import DraftView
from clinician.views.entries import EntriesView
from clinician.views.fhir import FhirRecordView
from clinician.views.flag import (
    FlagCloseView,
    FlagRemarkView,
    FlagSeeView,
    HeldSettleView,
    HoldLiftView,
)
from clinician.views.handover import HandoverUndoView, HandoverView
from clinician.views.incident import (
    IncidentCloseView,
    IncidentDetailView,
    IncidentRecordView,
    IncidentReportView,
)
from clinician.views.lending import (
    LendingAddView,
    LendingDetailView,
    LendingListView,
    LoanOpenView,
    LoanReturnView,
)
from clinician.views.limits import LimitEndView, LimitRecordView
from clinician.views.mail import ReminderEffectView, StaffMailView
from clinician.views.months import MonthsFileView, MonthsView
from clinician.views.note import NoteReadView
from clinician.views.panel import PanelKeepView, PanelView
from clinician.views.patient import ConsentView, EpisodeAddView, PatientAddView, PatientView
from clinician.views.phone import (
    PhoneConfirmView,
    PhoneFileView,
    PhonePairView,
    PhoneRevokeView,
    PhonesWaitingView,
)
from clinician.views.photo import (
    PhotoAgreementEndView,
    PhotoAgreementView,
    PhotoFileView,
    PhotoView,
)
from clinician.views.prescribing import (
    FamilyAddView,
    FamilyListView,
    StimulatorAddView,
    StimulatorEditView,
    StimulatorListView,
)
from clinician.views.program import FamilyChoiceView, ProgramAssignView, RevisionAddView
from clinician.views.reminders import ContactRequestView, ReminderPageView, ReminderSetView
from clinician.views.review import ReviewPatientView, ReviewRunView, ReviewShownView
from clinician.views.revision import ProgramSheetView, RevisionCompareView
from clinician.views.roster import (
    AbsenceBackView,
    AbsenceOfView,
    AbsenceView,
    ClosureView,
    RosterView,
    WeekOfView,
    WeekView,
)
from clinician.views.rule_outcomes import RuleOutcomesView
from clinician.views.screening import ScreeningRecordView
from clinician.views.signed_notes import AddendumAddView, NoteAddView, NoteView
from clinician.views.staff import (
    JoinView,
    StaffEndView,
    StaffInviteView,
    StaffLinkView,
    StaffRoleView,
    StaffView,
)
from clinician.views.strength import (
    StrengthTestRecordView,
    StrengthTestShareView,
    StrengthTestsView,
)
from clinician.views.thresholds import ClinicRulesView, PatientRulesView
from clinician.views.visit import VisitAddView, VisitCorrectView

PATIENT = "patients/<uuid:patient_id>"
EPISODE = "episodes/<uuid:episode_id>"
PROGRAM = "programs/<uuid:program_id>"
REVISION = "revisions/<uuid:revision_id>"
TEST = "strength-tests/<uuid:test_id>"
PHONE = "phones/<uuid:phone_id>"
INCIDENT = "incidents/<uuid:incident_id>"
CONTACT = "contacts/<uuid:contact_id>"
NOTE = "notes/<uuid:note_id>"
PERSON = "staff/<uuid:clinician_id>"

urlpatterns = [
    path("", PanelView.as_view(), name="desk-panel"),
    path("panel/keep/", PanelKeepView.as_view(), name="panel-keep"),
    path("handover/", HandoverView.as_view(), name="handover"),
    path("handover/<uuid:batch_id>/undo/", HandoverUndoView.as_view(), name="handover-undo"),
    path("patients/add/", PatientAddView.as_view(), name="patient-add"),
    path(f"{PATIENT}/", PatientView.as_view(), name="patient-detail"),
    path(f"{PATIENT}/entries/", EntriesView.as_view(), name="patient-entries"),
    path(f"{PATIENT}/record/fhir/", FhirRecordView.as_view(), name="record-fhir"),
    path(f"{PATIENT}/numbers/", CourseNumbersView.as_view(), name="course-numbers"),
    path(f"{PATIENT}/numbers/file/", CourseNumbersFileView.as_view(), name="course-numbers-file"),
    path(f"{PATIENT}/notes/<uuid:entry_id>/read/", NoteReadView.as_view(), name="note-read"),
    path(f"{PATIENT}/notes/add/", NoteAddView.as_view(), name="note-add"),
    path(f"{NOTE}/", NoteView.as_view(), name="note-detail"),
    path(f"{NOTE}/add/", AddendumAddView.as_view(), name="addendum-add"),
    path("review/", ReviewRunView.as_view(), name="review-run"),
    path("reviews/<uuid:review_id>/", ReviewShownView.as_view(), name="review-shown"),
    path("review/<uuid:patient_id>/", ReviewPatientView.as_view(), name="review-patient"),
    path(f"{PATIENT}/thresholds/", PatientRulesView.as_view(), name="patient-rules"),
    path(f"{PATIENT}/consent/", ConsentView.as_view(), name="consent-record"),
    path(f"{PATIENT}/photos/agree/", PhotoAgreementView.as_view(), name="photo-agreement"),
    path(
        "photo-agreements/<uuid:agreement_id>/end/",
        PhotoAgreementEndView.as_view(),
        name="photo-agreement-end",
    ),
    path("photos/<uuid:photo_id>/", PhotoView.as_view(), name="photo-detail"),
    path("photos/<uuid:photo_id>/file/", PhotoFileView.as_view(), name="photo-file"),
    path(f"{PATIENT}/episodes/add/", EpisodeAddView.as_view(), name="episode-add"),
    path(f"{PATIENT}/contacts/add/", ContactRecordView.as_view(), name="contact-record"),
    path(
        "contacts/<uuid:contact_id>/correct/", ContactCorrectView.as_view(), name="contact-correct"
    ),
    path(f"{PATIENT}/visits/add/", VisitAddView.as_view(), name="visit-add"),
    path("visits/<uuid:visit_id>/correct/", VisitCorrectView.as_view(), name="visit-correct"),
    path(f"{PATIENT}/holds/lift/", HoldLiftView.as_view(), name="hold-lift"),
    path(f"{PATIENT}/phones/pair/", PhonePairView.as_view(), name="phone-pair"),
    path(f"{PATIENT}/phones/waiting/", PhonesWaitingView.as_view(), name="phone-waiting"),
    path(f"{PATIENT}/phones/file/", PhoneFileView.as_view(), name="phone-file"),
    path(f"{PATIENT}/calendar/", CalendarFileView.as_view(), name="calendar-file"),
    path(f"{PATIENT}/reminders/", ReminderPageView.as_view(), name="reminder-page"),
    path(f"{PATIENT}/reminders/set/", ReminderSetView.as_view(), name="reminder-set"),
    path(f"{PATIENT}/reminders/contact/", ContactRequestView.as_view(), name="contact-request"),
    path(f"{PHONE}/confirm/", PhoneConfirmView.as_view(), name="phone-confirm"),
    path(f"{PHONE}/revoke/", PhoneRevokeView.as_view(), name="phone-revoke"),
    path("held/<uuid:held_id>/settle/", HeldSettleView.as_view(), name="held-settle"),
    path("flags/<uuid:flag_id>/close/", FlagCloseView.as_view(), name="flag-close"),
    path("flags/<uuid:flag_id>/see/", FlagSeeView.as_view(), name="flag-see"),
    path("flags/<uuid:flag_id>/remark/", FlagRemarkView.as_view(), name="flag-remark"),
    path(f"{EPISODE}/discharge/", EpisodeDischargeView.as_view(), name="episode-discharge"),
    path(f"{EPISODE}/reopen/", EpisodeReopenView.as_view(), name="episode-reopen"),
    path("discharges/<uuid:discharge_id>/", DischargeLetterView.as_view(), name="discharge-letter"),
    path(f"{EPISODE}/screening/", ScreeningRecordView.as_view(), name="screening-record"),
    path(f"{EPISODE}/limits/add/", LimitRecordView.as_view(), name="limit-record"),
    path("limits/<uuid:limit_id>/end/", LimitEndView.as_view(), name="limit-end"),
    path(f"{EPISODE}/strength/", StrengthTestsView.as_view(), name="strength-tests"),
    path(f"{EPISODE}/strength/add/", StrengthTestRecordView.as_view(), name="strength-test-record"),
    path(f"{TEST}/share/", StrengthTestShareView.as_view(), name="strength-test-share"),
    path(f"{EPISODE}/program/", FamilyChoiceView.as_view(), name="program-start"),
    path(f"{EPISODE}/program/<slug:family>/", ProgramAssignView.as_view(), name="program-assign"),
    path(f"{PROGRAM}/revise/", RevisionAddView.as_view(), name="program-revise"),
    path(f"{PROGRAM}/pause/", ProgramPauseView.as_view(), name="program-pause"),
    path("pauses/<uuid:pause_id>/end/", PauseEndView.as_view(), name="pause-end"),
    path(f"{REVISION}/stimulator/", StimulatorSetView.as_view(), name="stimulator-set"),
    path(f"{REVISION}/compare/", RevisionCompareView.as_view(), name="revision-compare"),
    path(f"{REVISION}/sheet/", ProgramSheetView.as_view(), name="program-sheet"),
    path("drafts/<slug:draft>/", DraftView.as_view(), name="draft-save"),
    path("stimulators/", StimulatorListView.as_view(), name="stimulator-list"),
    path("stimulators/add/", StimulatorAddView.as_view(), name="stimulator-add"),
    path("stimulators/<uuid:stimulator_id>/", StimulatorEditView.as_view(), name="stimulator-edit"),
    path(f"{PATIENT}/incidents/add/", IncidentRecordView.as_view(), name="incident-record"),
    path(f"{INCIDENT}/", IncidentDetailView.as_view(), name="incident-detail"),
    path(f"{INCIDENT}/close/", IncidentCloseView.as_view(), name="incident-close"),
    path(f"{INCIDENT}/report/", IncidentReportView.as_view(), name="incident-report"),
    path("months/", MonthsView.as_view(), name="months"),
    path("months/file/", MonthsFileView.as_view(), name="months-file"),
    path("lending/", LendingListView.as_view(), name="lending-list"),
    path("lending/add/", LendingAddView.as_view(), name="lending-add"),
    path("lending/<uuid:own_id>/", LendingDetailView.as_view(), name="lending-detail"),
    path(f"{PATIENT}/loans/add/", LoanOpenView.as_view(), name="loan-open"),
    path("loans/<uuid:loan_id>/return/", LoanReturnView.as_view(), name="loan-return"),
    path("families/", FamilyListView.as_view(), name="family-list"),
    path("families/add/", FamilyAddView.as_view(), name="family-add"),
    path("staff/", StaffView.as_view(), name="staff-list"),
    path("staff/invite/", StaffInviteView.as_view(), name="staff-invite"),
    path(f"{PERSON}/link/", StaffLinkView.as_view(), name="staff-link"),
    path(f"{PERSON}/role/", StaffRoleView.as_view(), name="staff-role"),
    path(f"{PERSON}/end/", StaffEndView.as_view(), name="staff-end"),
    path(f"{PERSON}/week/", WeekOfView.as_view(), name="roster-week"),
    path(f"{PERSON}/absence/", AbsenceOfView.as_view(), name="roster-absence"),
    path("roster/", RosterView.as_view(), name="roster"),
    path("roster/week/", WeekView.as_view(), name="roster-week-own"),
    path("roster/absence/", AbsenceView.as_view(), name="roster-absence-own"),
    path("roster/closure/", ClosureView.as_view(), name="roster-closure"),
    path("absences/<uuid:absence_id>/back/", AbsenceBackView.as_view(), name="absence-back"),
    path("join/<uidb64>/<token>/", JoinView.as_view(), name="clinician-join"),
    path("clinic/", ClinicView.as_view(), name="clinic"),
    path("clinic/texts/", ClinicTextsView.as_view(), name="clinic-texts"),
    path("clinic/flags/", RuleOutcomesView.as_view(), name="rule-outcomes"),
    path("clinic/settings/", ClinicSettingsView.as_view(), name="clinic-settings"),
    path("clinic/history/", ClinicHistoryView.as_view(), name="clinic-history"),
    path("clinic/records/", PastRecordsView.as_view(), name="clinic-past"),
    path("clinic/course/", ClinicCourseView.as_view(), name="clinic-course"),
    path("clinic/reminders/", ReminderEffectView.as_view(), name="reminder-effect"),
    path("mail/", StaffMailView.as_view(), name="staff-mail"),
    path("clinic/rules/", ClinicRulesView.as_view(), name="clinic-rules"),
]
