"""Opening hours: what is closed or open again and again is a rule of a place, not something seen of a day."""

_DAYS = r"(?:mon|tues?|wednes|thurs?|fri|satur|sun)days"
_CLOSED = r"(?:closed|shut|locked|off[\s-]limits|no\s+(?:access|entry))"
_WHEN = (
    r"(?:(?:at|by|from|after|before|around|about|until|till)\s+|~\s?)*"
    rf"(?:[0-9]|noon\b|midday\b|midnight\b|dusk\b|dawn\b|dark\b|sunset\b|sunrise\b|nightfall\b|night\b|(?:on\s+)?{_DAYS}\b"
    r"|daily\b|(?:every|each)\s|(?:early|late)\s+(?:on|in)\s)"
)
# `closes at 18:00`, `opens 9-17`, `closed Mondays`, `locked at night`, `last entry 16:30`
OPENING_HOURS = (
    rf"\b(?:closes|shuts|locks(?:\s+up)?|opens)\s+{_WHEN}"
    rf"|\b{_CLOSED}\s+(?:(?:on|only|always|every)\s+)*{_DAYS}\b"
    rf"|\b{_CLOSED}\s+(?:(?:every|each)\s+\w+|daily|(?:at|by|over)\s?night|after\s+dark|(?:at|on)\s+weekends|on\s+(?:public\s+)?holidays"
    r"|in\s+(?:the\s+)?(?:winter|summer|spring|autumn|fall|off[\s-]season)|off[\s-]season|out(?:side)?\s+(?:of\s+)?(?:the\s+)?season)\b"
    rf"|\bopen\s+(?:daily\b|(?:from\s+)?[0-9][0-9:.]*\s?(?:[ap]m)?\s?(?:-|–|to)\s?[0-9]|(?:on\s+|only\s+)*{_DAYS}\b|only\s)"
    r"|\bopening\s+(?:hours|times)\b|\blast\s+(?:entry|admission|entrance)\b"
)
