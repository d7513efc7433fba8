"""The rules of an exam's draw that its teacher may set, as they are kept with the exam."""

from dataclasses import asdict, dataclass, fields

COLOUR_NEVER, COLOUR_AVOIDED = "never", "avoided"


@dataclass(frozen=True)
class Rules:
    """What the draw of an exam keeps, besides what every draw keeps."""

    colour: str = COLOUR_NEVER  # salts told by colour alone, for those who need help: never, or avoided
    met_before: bool = True  # whether salts that a candidate had in an earlier exam are kept from them
    within_stock: bool = False  # whether no more samples are drawn of a salt than stand on the shelf
    close_minutes: int = 240  # sittings of one room that begin within this time are close; 0: none
    apart: tuple[tuple[str, ...], ...] = ()  # groups of salts that are never neighbours
    ceiling: dict | None = None  # the worst hazard code by class ("": none); None: as for school age
    sinks: bool = True  # whether benches that share a sink are neighbours

    @classmethod
    def from_json(cls, kept):
        """The rules that `as_json` has written; what is not in it is as usual."""
        known = {field.name for field in fields(cls)}
        given = {name: value for name, value in kept.items() if name in known}
        if "apart" in given:
            given["apart"] = tuple(tuple(group) for group in given["apart"])
        return cls(**given)

    def as_json(self):
        """The rules as JSON."""
        return asdict(self) | {"apart": [list(group) for group in self.apart]}
