"""Twenty shots come from a sheet, however an office program saved it."""

from datetime import date, time
from fractions import Fraction
from pathlib import Path

import pytest

from logbook.domain.words import Priority, Support
from logbook.domain.written.plan_tokens import ANY_TIME
from logbook.intake.planfile import open_plan, read_plan

# As a program with semicolons and decimal commas saves it: dates and times in its country's way, cells quoted
# where they hold its separator or a break, columns in an order of its own, one of them its author's.
SHEET = """\
Prüfliste Herbst;;;;;;;;;;;;;;
;;;;;;;;;;;;;;
Date;From;To;Title;Viewpoint;Focal mm;F-number;Shutter speed;ISO;Filters;Support;Priority;Technique;Note;Fuhre
14.10.2031;06:45;07:30;Mühle bei Ebbe;quarry-ledge;24;11;2;100;nd8 + nd8;tripod;must have;smooth water;;Jörg
14.10.2031;07:30:00;08:00:00;Mühle von der Brücke;quarry-ledge;50;8;1/125;200;none;handheld;wanted;;;
14.10.2031;17.20;18.05;Ledge dusk;Quarry ledge;23,5;5,6;0,5;100;pol;Tripod;Essential;;"Zwei; eng";
14.10.2031;;;Gate;;35;f/8;1/60 s;ISO 100;;;;;;
15.10.2031;16:00;;Ferry;dune-crest;70;4;1/500;400;;hand-held;nice to have;panning;;
15.10.2031;;21:00;Harbour lights;dune-crest;50;8;8 s;100;no filter;tripod;;;;
15.10.2031;19:00;20:00;Star trails;dune-crest;16;5,6;30 min;100;none;tripod;optional;star trails;;
15.10.2031;19:00;20:00;Milky way;dune-crest;16;2,8;20;3.200;none;tripod;optional;;;
15.10.2031;10:00;11:00;Kraniche;dune-crest;500;5,6;1/640;800;;monopod;bonus;;"Abstand halten
150 m";
16.10.2031;6:15;7:15;Town in fog;;50;8;1/30;100;;tripod;;fog;;
16.10.2031;6:15;7:15;Town in sun;;50;8;1/60;100;pol;tripod;want;;;Jörg
16.10.2031;11:00;11:30;River;quarry-ledge;35;11;4;100;nd128;tripod;;;;
16.10.2031;11:30;12:00;River, stopped;quarry-ledge;35;5,6;1/500;400;none;handheld;;;;
16.10.2031;12:00;12:15;"The ""old"" arch";quarry-ledge;28;11;1/15;64;gnd8;tripod;must;;;
17.10.2031;06:40;07:30;Salt polygons;dune-crest;24;16;1/30;100;none;tripod;essential;raking light;;
17.10.2031;18:00;18:30;Salt mirror;dune-crest;20;11;1,3;100;nd8;tripod;;;;
17.10.2031;18:30;19:00;Salt posts;dune-crest;105;4;0,25;200;;braced;;;;
17.10.2031;;;Café;;35;2;1/125;1600;;;;;;
18.10.2031;09:00;09:40;Steps;;24;5,6;1/2;400;nd8, pol;tripod;;;;
18.10.2031;16:42;16:50;Train;quarry-ledge;100;8;1/1000;1 600;;handheld;must have;;pünktlich sein;
"""
CRLF = SHEET.replace("\n", "\r\n")
QUOTED_BREAK = CRLF.replace("halten\r\n150", "halten\n150")


@pytest.mark.parametrize(
    ("text", "encoding"),
    [
        (QUOTED_BREAK, "utf-8"),
        (QUOTED_BREAK, "utf-8-sig"),
        (QUOTED_BREAK, "cp1252"),
        (SHEET, "utf-8"),
        (SHEET.replace(";", "\t").replace("Zwei\t", "Zwei;"), "utf-16"),
    ],
    ids=["utf-8", "utf-8 with mark", "windows-1252", "lines of unix", "utf-16 with tabs"],
)
def test_twenty_shots_come_from_a_sheet_in_any_usual_encoding(
    tmp_path: Path, text: str, encoding: str
) -> None:
    path = tmp_path / "plan.csv"
    path.write_bytes(text.encode(encoding))
    plan = read_plan(open_plan(path), ANY_TIME)
    assert plan.loose == ()
    assert len(plan.shots) == 20
    shots = {shot.said["title"]: shot.said for shot in plan.shots}
    assert shots["Mühle bei Ebbe"] == {
        "title": "Mühle bei Ebbe",
        "on_date": date(2031, 10, 14),
        "window_from": time(6, 45),
        "window_to": time(7, 30),
        "viewpoint": "quarry-ledge",
        "focal_mm": 24.0,
        "f_number": 11.0,
        "exposure_s": Fraction(2),
        "iso": 100,
        "filters": ("nd8", "nd8"),
        "support": Support.TRIPOD,
        "priority": Priority.ESSENTIAL,
        "technique": "smooth water",
        "notes": "Fuhre: Jörg",
    }
    assert [shots["Ledge dusk"][name] for name in ("focal_mm", "f_number", "exposure_s")] == [
        23.5,
        5.6,
        Fraction(1, 2),
    ]
    assert shots["Ledge dusk"]["notes"] == "Zwei; eng"
    assert shots["Kraniche"]["notes"] == "Abstand halten\n150 m"
    assert [shots[title]["iso"] for title in ("Milky way", "Train")] == [3200, 1600]
    assert [shots[title]["exposure_s"] for title in ("Star trails", "Salt mirror", "Salt posts")] == [
        1800,
        Fraction(13, 10),
        Fraction(1, 4),
    ]
    assert shots['The "old" arch']["filters"] == ("gnd8",)
    assert shots["Steps"]["filters"] == ("nd8", "pol")
    assert "filters" not in shots["Gate"]
    said = [remark for remark in plan.remarks if "Fuhre" in remark]
    assert len(said) == 1
    assert ("Windows-1252" in plan.remarks[0]) == (encoding == "cp1252")
