"""Pictures in the draft of a day file: what is stated of each, what is proposed, and what is asked.

One surprising decision: a picture is called what a reader of the file would find it by and nothing else: its
stem where that means one picture of the day, else its file, else its slug.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from logbook.craft.marks import number_text
from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.words import Support
from logbook.domain.written.entry import KeepersEntry
from logbook.domain.written.filters import names_now
from logbook.domain.written.lines import written_entry
from logbook.intake.dayfile import Section
from logbook.intake.written_files import own_comment
from logbook.services.dayfiles.written import is_stated, reads_back
from logbook.services.naming import Narrow, Pool, SeveralKeepersError
from logbook.services.night.planned import PlannedGroup

ALTERNATIVES = 3  # how many other explanations of a jump stand beside the best


@dataclass(frozen=True, slots=True)
class PictureLines:
    """The lines about the pictures of one trip."""

    account: TripAccount

    def lines_of(self, group: PlannedGroup, support: Support | None = None) -> Iterator[str]:
        keepers = {keeper.id: keeper for keeper in self.account.keepers}
        if group.filters_reason:
            others = " or ".join(
                f"{' + '.join(one.filters) or 'none'} ({number_text(one.stops, 1)} stops)"
                for one in group.explanations[1 : 1 + ALTERNATIVES]
            )
            yield own_comment(group.filters_reason + (f"; fits nearly as well: {others}" if others else ""))
        if group.question:
            yield from self._question(group, keepers)
        if group.shot and group.shot_kind != "shot":
            yield own_comment(f"may stand in for {group.shot}: {group.shot_reason}")
        for keeper_id in group.keeper_ids:
            yield from self._keeper(keepers[keeper_id], group, support)

    def _question(self, group: PlannedGroup, keepers: Mapping[str, Keeper]) -> Iterator[str]:
        """Yield what is asked of frames and both answers as lines that may be taken out of comments."""
        names = [self._name(keepers[keeper_id]) for keeper_id in group.keeper_ids]
        yield own_comment(f"{group.question} ({group.question_reason}); uncomment the lines that are right")
        for filters in (group.if_filter, group.if_light):
            for name in names:
                said = KeepersEntry(name, name, filters, filters_known=True, filters_said=True)
                yield own_comment(keeper_line(said))

    def _keeper(self, keeper: Keeper, group: PlannedGroup, support: Support | None) -> Iterator[str]:
        slugs = {shot.id: shot.slug for shot in self.account.shots}
        name = self._name(keeper)
        is_filters, is_shot = is_stated(keeper, "filters"), is_stated(keeper, "shot_id")
        is_support = is_stated(keeper, "support")
        stated = KeepersEntry(
            first=name,
            last=name,
            filters=keeper.filters if is_filters else None,
            filters_known=is_filters,
            filters_said=is_filters,
            support=keeper.support if is_support else None,
            shot=slugs[keeper.shot_id] if is_shot and keeper.shot_id else None,
            caption=keeper.caption if is_stated(keeper, "caption") else None,
            sharpness=keeper.sharpness if is_stated(keeper, "sharpness") else None,
        )
        others = is_support or stated.caption or stated.sharpness
        if is_filters or is_shot or others:
            yield keeper_line(stated)
        best = group.explanations[0].filters if group.explanations else None
        filters = None if is_filters else keeper.filters if keeper.filters is not None else best
        planned = slugs.get(keeper.shot_id or "") or (group.shot if group.shot_kind == "shot" else None)
        proposed = KeepersEntry(
            first=name,
            last=name,
            filters=filters,
            filters_known=filters is not None,
            filters_said=filters is not None or not (is_filters or others or group.question),
            support=None if is_support else keeper.support or support,
            shot=None if is_shot else planned,
            proposed=True,
        )
        if proposed.filters_said or proposed.support or proposed.shot:
            yield keeper_line(proposed)

    def _name(self, keeper: Keeper) -> str:
        """Return what a line calls a picture: its stem, unless that means others too or cannot be read."""
        for name in (Path(keeper.file).stem, keeper.file):
            is_alone = self._is_alone(name, keeper)
            said = KeepersEntry(name, name, support=Support.TRIPOD)
            if is_alone and keeper_line(said) == written_entry(said):
                return name
        return keeper.slug

    def _is_alone(self, name: str, keeper: Keeper) -> bool:
        """Whether a name means one picture of the day and no other."""
        pool = Pool(self.account.keepers, {self.account.trip.id: self.account.trip})
        try:
            return pool.narrowed(Narrow(on=pool.day_of(keeper))).meant(name, name) == [keeper]
        except SeveralKeepersError:
            return False


def keeper_line(entry: KeepersEntry) -> str:
    """Return a line about a picture, unless reading it would find something else in it."""
    flat = replace(
        entry,
        caption=" ".join(entry.caption.split()) if entry.caption else None,
        filters=names_now(entry.filters),
    )
    line = written_entry(flat)
    if reads_back(Section(entries=(flat,))):
        return line
    return own_comment(
        f"{line.removeprefix('- ')}; this cannot be written in a line, so change it with keeper note"
    )
