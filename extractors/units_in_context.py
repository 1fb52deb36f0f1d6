"""Units whose meaning hangs on what they are said of: pounds of air, tons of cooling, degrees, horse on a boiler, mil."""

from __future__ import annotations

from dataclasses import replace

from extractors.mentions import Measure, Tokens

PRESSING = frozenset("air steam pressure gauge regulator compressed psi header relief boiler compressor receiver airline nitrogen hydraulic".split())
WEIGHING = frozenset("weigh weighs weight dry load capacity heavy linen lift lifts holds hold batch flour sand steel rated machine of".split())
COOLING = frozenset("chiller chillers cooling refrigeration refrigerant glycol chilled chill conditioning condenser evaporator hvac".split())
TURNING = frozenset("angle angles elbow elbows bend bends turn turns rotation rotate rotates tilt tilts pitch incline inclined slope swing swivel swivels helix bevel mitre miter cone taper".split())  # fmt: skip
SCALES = {"fahrenheit": "degF", "celsius": "degC", "centigrade": "degC", "celcius": "degC"}
DRIVEN = frozenset("motor pump fan blower burner drive feedwater feed stoker".split())
GAS = frozenset("nitrogen oxygen argon helium".split())
CARDS = frozenset({"ago", "from", "later", "early", "earlier"})
HOT = 32.0


def in_context(tokens: Tokens, measures: tuple[Measure, ...], metric: bool) -> tuple[Measure, ...]:
    """The measures with ambiguous units settled by the words of their sentence; idle spans of time are left out."""
    bounds = _bounds(tokens)
    scale = _scale(tokens)
    out = []
    for m in measures:
        a, b = bounds[tokens[m.first].sentence]
        words = [t.lower.removesuffix("'s") for t in tokens[a:b]]
        after = [t.lower for t in tokens[m.last : min(b, m.last + 4)]]
        before = [t.lower.removesuffix("'s") for t in tokens[max(a, m.first - 5) : m.first]]
        settled = _settle(m, words, before, after, scale, metric, tokens)
        if settled is not None:
            out.append(settled)
    return tuple(out)


def _bounds(tokens: Tokens) -> dict[int, tuple[int, int]]:
    out: dict[int, tuple[int, int]] = {}
    for i, t in enumerate(tokens):
        a, _ = out.get(t.sentence, (i, i))
        out[t.sentence] = (a, i + 1)
    return out


def _scale(tokens: Tokens) -> str | None:
    """The only temperature scale named in the transcript; None where none or both are."""
    found = {SCALES[t.lower] for t in tokens if t.lower in SCALES}
    return found.pop() if len(found) == 1 else None


def _settle(
    m: Measure, words: list[str], before: list[str], after: list[str], scale: str | None, metric: bool, tokens: Tokens
) -> Measure | None:
    said = tokens[m.last - 1].lower
    if m.dimension == "time" and (after[:1] and after[0] in CARDS or before[-1:] == ["last"]):
        return None
    if m.unit in ("degF", "degC") and said in ("f", "c") and not tokens[m.last - 2].lower.startswith(("deg", "°")):
        if m.value < HOT and not {"temperature", "water", "cold", "air", "freezer", "cooler"} & set(words):
            return None
    if m.unit == "degree":
        if TURNING & (set(after) | set(before[-3:])):
            return replace(m, property="other")
        here = next((SCALES[w] for w in words if w in SCALES), None)
        unit = here or scale or ("degC" if metric else "degF")
        doubt = m.doubt or (None if here else f"scale not said; taken as {'Celsius' if unit == 'degC' else 'Fahrenheit'}")
        return replace(m, unit=unit, dimension="temperature", property="temperature", doubt=doubt)
    if m.unit == "pound" and said in ("pound", "pounds", "lb", "lbs"):
        return _pounds(m, words, before, after)
    if m.unit == "ton" and COOLING & set(words) and not {"weigh", "weighs", "weight"} & set(words):
        return replace(m, unit="ton_of_refrigeration", dimension="power", property="power")
    if m.unit == "horsepower" and m.value >= 10 and ("boiler" in after[:3] or ("boiler" in before and not DRIVEN & set(words))):
        if not DRIVEN & set(after[:3]):
            return replace(m, unit="boiler_horsepower")
    if m.unit == "thou" and said in ("mil", "mils") and metric:
        return replace(m, unit="millimetre", property=None, doubt=m.doubt or "mil of a metric speaker: millimetre")
    if m.unit == "Btu" and not {"total"} & set(words):
        return replace(m, unit="Btu/hour", dimension="power", property="power", doubt=m.doubt or "per hour not said")
    if m.unit == "inch" and after[:1] == ["vacuum"]:
        return replace(m, unit="inch_Hg_60F", dimension="pressure", property="pressure")
    if m.dimension == "mass" and m.unit in ("ton", "tonne") and {"press", "clamp", "clamping", "force", "brake", "punch"} & (set(after[:3]) | set(before)):
        return replace(m, property="other")
    if m.unit == "second" and said == "second" and m.value == 1:
        return None
    return m


def _pounds(m: Measure, words: list[str], before: list[str], after: list[str]) -> Measure:
    """ "ninety pounds of air", "150 pound steam", "set at a hundred and ten pounds" on a boiler: gauge pressure."""
    near = after[1:3] if after[:1] == ["of"] else after[:1]
    if near and near[0] in {"air", "steam", "pressure", "vacuum"} and not {"hour", "minute"} & set(after):
        return replace(m, unit="psi", dimension="pressure", property="pressure")
    if after[:1] != ["of"] and PRESSING & set(words) and not WEIGHING & (set(words) - {"of"}) and not (set(after[:1]) & {"motor", "machines", "machine", "unit"}):
        return replace(m, unit="psi", dimension="pressure", property="pressure", doubt=m.doubt or "pounds taken as psi")
    return m
