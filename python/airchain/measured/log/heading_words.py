"""Words that loggers head their columns with: common practice in several languages, no source."""

from __future__ import annotations

_TEMP = r"(?:air )?temp"
_BLOWER = r"(?:comp(?:ressor)?|blower|(?:super ?)?charger|turbo|sc|verdichter|lader)"
_SHORT_NUMBER = r"(?: ?(?:\d|[lr]|left|right|bank ?\d|cyl ?\d))?"

#: What is no quantity of a pull although its words look like one.
NOT_MEASURED = (
    r".*\b(?:target|desired|setpoint|soll|limit|oil|öl|gear|throttle|drossel|bsfc|volts?|voltage|"
    r"wheel|roller|hub|cut|trim|fact(?:or)?|cf|duty|loss|error|switch|knock|ignition|timing)\b.*"
)

#: Quantity and pattern, tried in this order against a heading in small letters without its unit,
#: with 'temperature' and 'pressure' cut to 'temp' and 'press'.
PATTERNS: tuple[tuple[str, str], ...] = (
    ("rotor_speed", rf"(?:{_BLOWER}|impeller|rotor|shaft)(?: shaft)? ?(?:rpm|speed|drehzahl)"),
    (
        "engine_speed",
        r"rpm|n|(?:engine|eng|motor|crank) ?(?:rpm|speed|revs|drehzahl)|speed|drehzahl|revs"
        r"|r[ée]gime(?: moteur)?|giri(?: motore)?",
    ),
    (
        "torque",
        r"(?:(?:engine|flywheel|brake|crank) )?(?:torque|tq|trq)|drehmoment|md|couple|coppia",
    ),
    (
        "power",
        r"(?:(?:engine|flywheel|brake|crank) )?(?:power|pwr|b?hp|horsepower)|kw|ps"
        r"|leistung|puissance|potenza",
    ),
    (
        "barometer",
        r"baro(?:meter|metric)?(?: press)?|(?:ambient|atm|atmospheric|cell|room)(?: air)? press"
        r"|luftdruck|p ?amb",
    ),
    ("relative_humidity", r"(?:rel(?:ative)? )?humidity|rh|(?:rel )?(?:luft)?feuchte"),
    (
        "ambient_temperature",
        rf"(?:ambient|room|cell|test cell|outside|weather) {_TEMP}|aussentemp|umgebungstemp|t ?amb",
    ),
    (
        "compressor_inlet_pressure",
        rf"(?:(?:pre )?{_BLOWER} (?:in|inlet|suction)|pre {_BLOWER}) press"
        r"|(?:inlet|intake) depression|p ?1|druck vor verdichter",
    ),
    (
        "compressor_inlet_temperature",
        rf"(?:{_BLOWER}|filter) (?:in|inlet) {_TEMP}|pre {_BLOWER} {_TEMP}|t ?1"
        r"|temp vor verdichter",
    ),
    (
        "compressor_outlet_pressure",
        rf"(?:{_BLOWER} )?(?:discharge|disch|outlet|out|exit) press|pre cooler press|p ?2"
        r"|druck nach verdichter",
    ),
    (
        "compressor_outlet_temperature",
        rf"(?:{_BLOWER} )?(?:discharge|disch|outlet|out|exit) {_TEMP}|pre cooler {_TEMP}|t ?2"
        r"|temp nach verdichter",
    ),
    (
        "plenum_pressure",
        r"map|boost(?: press)?|(?:intake )?manifold(?: abs(?:olute)?)?(?: press)?|plenum(?: press)?"
        r"|ladedruck|saugrohrdruck",
    ),
    (
        "plenum_temperature",
        rf"iat|act|mat|charge {_TEMP}|(?:intake|manifold|plenum)(?: manifold)? {_TEMP}"
        r"|ladelufttemp|saugrohrtemp",
    ),
    ("air_flow", r"maf|(?:mass |intake |dry )?air ?flow|(?:air )?mass flow|luftmasse(?:nstrom)?"),
    ("fuel_flow", r"fuel(?: mass)? ?(?:flow|rate)|ff|kraftstoff(?:durchfluss|masse)?|verbrauch"),
    ("lambda", rf"(?:lambda|λ|afr|a/f|air fuel ratio|wideband|o2){_SHORT_NUMBER}"),
    ("exhaust_temperature", rf"(?:egt|exhaust(?: gas)? temp|abgastemp){_SHORT_NUMBER}"),
    (
        "coolant_temperature",
        r"clt|ect|(?:coolant|water|engine) temp|k[üu]hlmittel(?:temp)?|wassertemp",
    ),
    ("time", r"t|time(?: ?stamp)?|elapsed(?: time)?|zeit|sec(?:onds)?|temps|tempo"),
    ("run", r"(?:run|pull|test|lauf|messung)(?: ?(?:no|number|nr|#|id))?"),
)

#: Power basis and the words that tell it, observed first.
BASES: tuple[tuple[str, str], ...] = (
    ("observed", r"obs|observed|uncorr|uncorrected|raw|actual|unkorr|unkorrigiert"),
    ("sae_j1349", r"sae(?: ?j1349)?|j1349"),
    ("std_29_92", r"std|j607|29\.92"),
    ("iso_1585", r"iso(?: ?1585)?"),
    ("corrected", r"corr|corrected|korr|korrigiert|din|ece|jis|eec|cor"),
)
