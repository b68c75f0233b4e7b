"""Addresses under /api/ for people, households and invitations."""

from django.urls import path

from household.accounts.api import households, invitations, session

urlpatterns = [
    path("session", session.SessionView.as_view()),
    path("sign-up", session.SignUpView.as_view()),
    path("sign-in", session.SignInView.as_view()),
    path("sign-out", session.SignOutView.as_view()),
    path("password", session.PasswordView.as_view()),
    path("households", households.HouseholdsView.as_view()),
    path("households/<uuid:household_id>", households.HouseholdView.as_view()),
    path(
        "households/<uuid:household_id>/members/<uuid:member_id>", households.MemberView.as_view()
    ),
    path(
        "households/<uuid:household_id>/invitations",
        invitations.HouseholdInvitationsView.as_view(),
    ),
    path(
        "households/<uuid:household_id>/invitations/<uuid:invitation_id>",
        invitations.HouseholdInvitationView.as_view(),
    ),
    path("invitations/<str:token>", invitations.InvitationView.as_view()),
    path("invitations/<str:token>/accept", invitations.InvitationAcceptanceView.as_view()),
]
