"""The crew: invitations, sign-offs, duty, and days as they are typed."""
