"""`python -m logbook` runs the program."""

from logbook.faces.main import run

if __name__ == "__main__":
    run()
