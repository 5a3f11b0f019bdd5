"""What one trial of every fuzzer is: read or refused in one sentence, in time, within a bound of memory."""

import resource
import sys
from collections.abc import Callable, Iterator
from time import process_time

SLOWEST_S = 5.0  # s of this process alone; anything longer is a hang
MEMORY_BYTES = 1 << 30  # of addresses, Python and its libraries included


def bound_memory() -> None:
    """Let this process fail where it would need more memory than a spoilt file can be worth."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))


def tried(read: Callable[[], object], refusal: type[Exception], what: str) -> bool:
    """Return whether it could be read; raises AssertionError with what went wrong, and in which trial."""
    began = process_time()
    try:
        read()
    except refusal as error:
        assert "\n" not in str(error), what  # noqa: PT017
        return False
    except Exception as error:
        raise AssertionError(f"{what}: {error!r}") from error
    finally:
        assert process_time() - began < SLOWEST_S, f"{what} hangs"
    return True


def tell(count: int, trials: Iterator[bool]) -> None:
    """Run all trials and print how many were read."""
    bound_memory()
    read = sum(trials)
    sys.stdout.write(f"{count} spoilt files: {read} read, {count - read} refused\n")
