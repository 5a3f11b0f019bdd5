"""A book written in other scripts: every place, caption and note, with numbers and Latin words among them."""

from collections.abc import Callable
from pathlib import Path

import piexif
from PIL import Image

SAID = {  # by script: a place, a caption with a number and Latin in it, a longer text
    "Arabic": (
        "بوابة النهر 3",
        "الجسر القديم عند 18:05، f/8 (ND64)",
        "وصلنا قبل الغروب بساعة، وكان الماء منخفضًا عند الصخور السوداء؛ كتبنا 12 ملاحظة عن الضوء.",
    ),
    "Hebrew": (
        "שער הנחל 4",
        "הגשר הישן בשעה 18:05, f/8 (ND64)",
        "הגענו שעה לפני השקיעה, והמים היו נמוכים ליד הסלעים השחורים; רשמנו 12 הערות על האור.",
    ),
    "Japanese": (
        "川の門 5番",
        "18:05の古い橋、f/8 (ND64)",
        "日没の一時間前に着いた。黒い岩のそばで水は低く、光について12の覚え書きを残した。直角に曲がる道を骨の折れる思いで登った。",
    ),
    "Chinese": (
        "河门6号",
        "18:05的旧桥,f/8 (ND64)",
        "日落前一小时到达。黑色岩石旁的水位很低,我们记下了十二条关于光线的笔记,沿着直角转弯的小路一直走到骨头般的白石。",
    ),
    "Devanagari": (
        "नदी का द्वार 7",
        "18:05 पर पुराना पुल, f/8 (ND64)",
        "सूर्यास्त से एक घंटा पहले हम पहुँचे; काली चट्टानों के पास पानी कम था और हमने प्रकाश के बारे में 12 टिप्पणियाँ लिखीं।",
    ),
    "Vietnamese": (
        "Cổng sông Đuổi 8",
        "Cầu cũ lúc 18:05, f/8 (ND64)",
        "Chúng tôi đến trước hoàng hôn một giờ; nước thấp bên những tảng đá đen và chúng tôi ghi 12 điều.",
    ),
}
DAY = "2031-10-14"


def fill(folder: Path, run: Callable[..., object]) -> Path:
    """Write the book and its pictures into a folder; `run` gives the program its arguments."""
    book = folder / "book.sqlite"
    pictures = folder / "pictures"
    pictures.mkdir()

    def say(*arguments: str) -> None:
        assert run("--book", str(book), *arguments) == 0, arguments

    titles = [said[0] for said in SAID.values()]
    texts = [said[2] for said in SAID.values()]
    say("trip", "add", SAID["Arabic"][0], "--slug", "trip", "--zone", "Asia/Dushanbe", "--from", DAY,
        "--to", DAY, "--client", SAID["Hebrew"][0], "--brief", texts[0], "--summary", texts[1],
        "--purpose", texts[2], "--next-visit", texts[3])  # fmt: skip
    for number, (script, (title, _, text)) in enumerate(SAID.items()):
        slug = script.lower()
        say("site", "add", title, "--slug", f"s-{slug}", "--region", title, "--hazards", text,
            "--access", text, "--location", "exact",
            "--position", f"{38 + number / 50} N 73.4 E")  # fmt: skip
        say("viewpoint", "add", title, "--slug", f"v-{slug}", "--site", f"s-{slug}", "--facing", "NW",
            "--position", f"{38 + number / 50} N 73.41 E", "--looks-at", title)  # fmt: skip
        say("shot", "add", title, "--slug", f"shot-{slug}", "--trip", "trip", "--viewpoint", f"v-{slug}",
            "--on", DAY, "--window", f"{10 + number}:00-{10 + number}:30", "--intent", text,
            "--technique", titles[number - 1], "--plan-notes", text, "--exposure", "1/60", "--f-number", "8",
            "--iso", "100")  # fmt: skip
        say("shot", "edit", f"shot-{slug}", "--outcome", "partly", "--reason", "water", "--note", text)
        say("condition", "add", "closure", "--trip", "trip", "--viewpoint", f"v-{slug}", "--on", DAY,
            "--at", f"{10 + number}:10", "--note", title, "--source", title)  # fmt: skip
        say("visit", "add", "--trip", "trip", "--viewpoint", f"v-{slug}", "--on", DAY,
            "--from", f"{10 + number}:00", "--to", f"{10 + number}:40", "--journal", text,
            "--purpose", "shooting", "--tries", "3")  # fmt: skip
        say("lesson", "add", "keep", text, "--slug", f"l-{slug}", "--trip", "trip", "--for", "students",
            "--viewpoint", f"v-{slug}", "--technique", title)  # fmt: skip
        exif = {
            piexif.ExifIFD.DateTimeOriginal: f"2031:10:14 {10 + number}:20:00",
            piexif.ExifIFD.ExposureTime: (1, 60),
            piexif.ExifIFD.FNumber: (8, 1),
            piexif.ExifIFD.ISOSpeedRatings: 100,
            piexif.ExifIFD.FocalLength: (35, 1),
            piexif.ExifIFD.FocalLengthIn35mmFilm: 35,
        }
        Image.new("RGB", (900, 600), (40 * number, 90, 120)).save(
            pictures / f"TRN_00{number}1.JPG", exif=piexif.dump({"Exif": exif})
        )
    say("keeper", "import", str(pictures), "--trip", "trip", "--no-measure")
    for number, (script, (_, caption, _)) in enumerate(SAID.items()):
        say("keeper", "note", f"00{number}1", "--caption", caption, "--viewpoint", f"v-{script.lower()}",
            "--shot", f"shot-{script.lower()}", "--filters", "none")  # fmt: skip
    return book
