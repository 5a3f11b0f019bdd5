"""Files that people write by hand: their text, whatever program saved them, and the lines that we put in.

One surprising decision: a file without a mark that is not UTF-8 is read as Windows-1252, which office
programs of many countries still write, and whoever reads it is told so.
"""

from pathlib import Path

from logbook.domain.errors import UnreadableFileError

LARGEST_BYTES = 2_000_000  # a long day has some 20 kB; anything beyond was not written by hand
GUESSED = "the file is not UTF-8 and was read as Windows-1252; check its accented letters"
OWN_COMMENT = ("<!-- logbook: ", "-->")  # how a line begins and ends that the program wrote into a draft


def text_in(path: Path, what: str) -> tuple[str, bool]:
    """Return the text of a file, and whether its encoding was guessed.

    It is UTF-8, UTF-16 with its mark, else Windows-1252. Raises UnreadableFileError, with `what` the file
    should be, for what is no text or beyond 2 MB.
    """
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise UnreadableFileError(f"There is no file {path}; check its name and folder.") from None
    except OSError as error:
        why = error.strerror or error
        raise UnreadableFileError(f"{path} cannot be read ({why}): check its permissions.") from error
    if len(content) > LARGEST_BYTES:
        raise UnreadableFileError(
            f"{path} is larger than 2 MB; a {what} is plain text, so name another file."
        )
    try:
        if content.startswith((b"\xff\xfe", b"\xfe\xff")):
            return content.decode("utf-16"), False
        if b"\x00" in content:
            raise UnreadableFileError(f"{path} is not a text file; name one of plain text.")
        return content.decode("utf-8-sig"), False
    except UnicodeDecodeError:
        try:
            return content.decode("cp1252"), True
        except UnicodeDecodeError:
            raise UnreadableFileError(
                f"{path} is not a text file in UTF-8; save it again as UTF-8."
            ) from None


def own_comment(text: str) -> str:
    """Return a line of the program's own, which reading passes over."""
    begins, ends = OWN_COMMENT
    return f"{begins}{text.replace(ends, '–>')} {ends}"  # an option in it can be copied as it is typed


def is_own_comment(line: str) -> bool:
    """Whether a line is one of the program's own."""
    begins, ends = OWN_COMMENT
    return line.strip().startswith(begins) and line.strip().endswith(ends)
