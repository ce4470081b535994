"""Words that loggers head their columns with: common practice, no source."""

from __future__ import annotations

_TEMP = r"(?:air )?temp"
_BLOWER = r"(?:comp(?:ressor)?|blower|(?:super ?)?charger|turbo|sc)"
_SHORT_NUMBER = r"(?: ?(?:\d|[lr]|left|right|bank ?\d|cyl ?\d))?"

#: What is no quantity of a pull although its words look like one.
NOT_MEASURED = (
    r".*(?<![\w/])(?:target|desired|setpoint|limit|oil|gear|throttle|bsfc|volts?|voltage|vehicle|road|"
    r"wheel|drum|axle|gearbox|transmission|prop ?shaft|drive ?shaft|"
    r"tail ?shaft|output shaft|r?whp|rwtq|"
    r"wtq|roller|hub|cut|trim|fact(?:or)?|cf|duty|loss(?:es)?|error|switch|knock|"
    r"ignition|"
    r"timing|demand|command(?:ed)?|set|request(?:ed)?|est(?:imated)?|model(?:led)?|calc|max|min|"
    r"peak|std|dev|stdev|diff(?:erence)?|delta|drag|friction|pedal|fan|pump|rate of)\b.*"
)

#: Quantity and pattern, tried in this order against a heading in small letters without its unit,
#: with 'temperature' and 'pressure' cut to 'temp' and 'press'.
PATTERNS: tuple[tuple[str, str], ...] = (
    ("rotor_speed", rf"(?:{_BLOWER}|impeller|rotor|shaft)(?: shaft)? ?(?:rpm|speed)"),
    (
        "engine_speed",
        r"rpm|n|(?:engine|eng|motor|crank(?:shaft)?) ?(?:rpm|speed|revs)(?: rpm)?|speed|revs"
        r"|rev/min",
    ),
    (
        "torque",
        r"(?:(?:engine|flywheel|brake|crank) )?(?:torque|tq|trq)|md"
        r"|nm|n m|lbs? ?ft|ft ?lbs?",
    ),
    (
        "power",
        r"(?:(?:engine|flywheel|brake|crank) )?(?:power|pwr|b?hp|horsepower)(?: hp| kw)?|kw|ps",
    ),
    (
        "barometer",
        r"baro(?:meter|metric)?(?: press)?|(?:ambient|atm|atmospheric|cell|room)(?: air)? press"
        r"|p ?amb",
    ),
    ("relative_humidity", r"(?:rel(?:ative)? )?humidity|rh"),
    (
        "ambient_temperature",
        rf"(?:ambient|room|cell|test cell|outside|weather) {_TEMP}|t ?amb",
    ),
    (
        "compressor_inlet_pressure",
        rf"(?:(?:pre )?{_BLOWER} (?:in|inlet|suction)|pre {_BLOWER}) press"
        r"|(?:inlet|intake) depression|p ?1",
    ),
    (
        "compressor_inlet_temperature",
        rf"(?:{_BLOWER}|filter) (?:in|inlet) {_TEMP}|pre {_BLOWER} {_TEMP}|t ?1",
    ),
    (
        "compressor_outlet_pressure",
        rf"(?:{_BLOWER} )?(?:discharge|disch|outlet|out|exit) press|pre cooler press|p ?2",
    ),
    (
        "compressor_outlet_temperature",
        rf"(?:{_BLOWER} )?(?:discharge|disch|outlet|out|exit) {_TEMP}|pre cooler {_TEMP}|t ?2",
    ),
    (
        "plenum_pressure",
        r"map|boost(?: press)?|(?:intake )?manifold(?: abs(?:olute)?)?(?: press)?|plenum(?: press)?"
        r"|(?:abs(?:olute)?|gauge) (?:manifold|boost|plenum) press|manifold vac(?:uum)?",
    ),
    (
        "plenum_temperature",
        rf"iat|act|mat|charge {_TEMP}|(?:intake|manifold|plenum)(?: manifold)? {_TEMP}",
    ),
    ("air_flow", r"maf|(?:mass |intake |dry )?air ?flow|(?:air )?mass flow"),
    ("fuel_flow", r"fuel(?: mass)? ?(?:flow|rate)|ff"),
    ("lambda", rf"(?:lambda|λ|afr|a/f|air fuel ratio|wideband(?: o2)?){_SHORT_NUMBER}"),
    ("exhaust_temperature", rf"(?:egt|exhaust(?: gas)? temp){_SHORT_NUMBER}"),
    (
        "coolant_temperature",
        r"clt|ect|(?:coolant|water|engine) temp",
    ),
    ("time", r"t|time(?: ?stamp)?|elapsed(?: time)?|sec(?:onds)?|clock|time of day"),
    ("run", r"(?:run|pull|test|lauf|messung)(?: ?(?:no|number|nr|#|id))?"),
)

#: Power basis and the words that tell it, observed first.
BASES: tuple[tuple[str, str], ...] = (
    ("observed", r"obs|observ(?:ed?|ad[ao]|ee?)|osservat[ao]|uncorr|uncorrected|raw|not corrected"),
    ("sae_j1349", r"sae ?j ?1349|sae(?! ?(?:j ?)?\d|w)(?! ?(?:gross|net)\b)|j1349"),
    ("std_29_92", r"std(?! ?dev)|(?:sae ?)?j607|29\.92"),
    ("iso_1585", r"iso ?1585|iso(?! ?\d)"),
    (
        "corrected",
        r"corr|corrected|din|ece|jis|eec|cor"
        r"|sae ?j ?\d+|sae (?:gross|net)|iso ?\d+|norm",
    ),
)
