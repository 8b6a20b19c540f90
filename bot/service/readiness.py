"""What a release makes when it is first asked, made beforehand: the first message to a machine then waits for none."""

from __future__ import annotations

from bot.conversation.release import Release
from bot.language.answers.answer import answer
from bot.language.answers.details import sounds_like
from bot.language.answers.nearest import nearest_checks
from bot.language.understand import understand


def make_ready(release: Release) -> None:
    """Compile each machine, read one of its complaints as it would be typed, and look once at what is known of each
    check. Some five seconds of one core; a message that comes meanwhile is answered as ever."""
    for family, pack in release.knowledge.packs.items():
        release.models[family]
        complaint = next(iter(pack.complaints.values()))
        understand(release.index, f"{pack.family.names['en'][0]}, {complaint.says}")
        nearest_checks(release.index, family, complaint.says)
        for key, check in pack.checks.items():
            answer(release.index, family, key, next(iter(check.results.values())).label)
            sounds_like(release.index, family, key, check.told)
