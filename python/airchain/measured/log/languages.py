"""Words of headings in several languages, as the English ones they mean (no source)."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

# English words, and what other languages call them, without accents. Longer ones come first.
_WORDS = {
    "engine speed": "motordrehzahl|drehzahl|regime moteur|regime motore|regime"
    "|vitesse moteur|giri motore|giri"
    "|regimen(?: del)? motor|regimen|revoluciones|motortoerental|toerental|motorvarvtal|varvtal"
    "|rotacao(?: do motor)?|obroty(?: silnika)?|otacky|kierrosluku|kierrosnopeus|omdrejningstal"
    "|turtall|motorturtall",
    "torque": "motordrehmoment|drehmoment|motormoment|couple(?: moteur)?|coppia(?: motore)?"
    "|par motor|par|koppel|vridmoment|moment(?: obrotowy)?|binario|tocivy moment"
    "|vaantomomentti|vaanto|drejningsmoment|dreiemoment",
    "power": "motorleistung|leistung|puissance|potenza|potencia|vermogen|effekt|moc|vykon|teho",
    "boost press": "ladedruck|pression (?:de )?suralimentation|pression turbo"
    "|pressione (?:di )?sovralimentazione|pressione turbo|presion (?:de )?soplado"
    "|presion (?:del )?turbo|laaddruk|laddtryck|pressao (?:do )?turbo|ahtopaine|ladetrykk|ladetryk"
    "|cisnienie do[lł]adowania",
    "manifold press": "saugrohrdruck|pression (?:du )?collecteur|pression (?:d )?admission"
    "|pressione (?:di )?aspirazione|pressione (?:del )?collettore|presion (?:de )?admision"
    "|presion (?:del )?colector|inlaatdruk|insugstryck|imusarjan paine|pressao (?:do )?coletor"
    "|pressao (?:de )?admissao",
    "manifold temp": "ladeluft(?:temp|temperatur)|saugrohr(?:temp|temperatur)"
    "|temp(?:erature)? (?:d )?admission|temp(?:erature)? (?:du )?collecteur"
    "|temp(?:eratura)? (?:di )?aspirazione|temp(?:eratura)? (?:del )?collettore"
    "|temp(?:eratura)? (?:de )?admision|inlaattemp(?:eratuur)?|insugstemp(?:eratur)?"
    "|laddlufttemp(?:eratur)?|temp(?:eratura)? (?:de )?admissao|imuilman lampotila"
    "|ansaugluft(?:temp|temperatur)",
    "barometer": "luftdruck|barometerstand|pression (?:atmospherique|barometrique|ambiante)"
    "|pressione (?:atmosferica|barometrica|ambiente)|presion (?:atmosferica|barometrica|ambiental)"
    "|luchtdruk|lufttryck",
    "ambient temp": "(?:aussen|umgebungs|raum)(?:temp|temperatur)"
    "|temp(?:erature)? (?:ambiante|exterieure)|temp(?:eratura)? (?:ambiente|esterna|exterior)"
    "|omgevingstemp(?:eratuur)?|omgivningstemp(?:eratur)?",
    "humidity": "(?:rel )?luftfeuchte|luftfeuchtigkeit|feuchte|humidite(?: relative)?"
    "|umidita(?: relativa)?|humedad(?: relativa)?|luchtvochtigheid|luftfuktighet|umidade",
    "exhaust temp": "abgas(?:temp|temperatur)|temp(?:erature)? (?:d )?echappement"
    "|temp(?:eratura)? (?:di |gas (?:di )?)?scarico|temp(?:eratura)? (?:de )?escape"
    "|uitlaat(?:gas)?temp(?:eratuur)?|avgastemp(?:eratur)?",
    "coolant temp": "kuhlmittel(?:temp|temperatur)?|kuhlwasser(?:temp|temperatur)?"
    "|wasser(?:temp|temperatur)|temp(?:erature)? (?:d )?eau|temp(?:eratura)? acqua"
    "|temp(?:eratura)? (?:del )?agua|temp(?:erature)? (?:du )?liquide(?: de refroidissement)?"
    "|koelwatertemp(?:eratuur)?|kylvattentemp(?:eratur)?|temp(?:eratura)? (?:del )?refrigerante",
    "air flow": "luftmasse(?:nstrom)?|debit (?:d )?air|portata (?:d )?aria|caudal (?:de )?aire"
    "|luchtmassa|luftmassa",
    "fuel flow": "kraftstoff(?:durchfluss|masse|massenstrom)?|debit (?:de )?carburant|verbrauch"
    "|portata (?:di )?carburante|caudal (?:de )?combustible|consommation|brandstofdebiet",
    "compressor outlet temp": "(?:temp|temperatur) nach (?:verdichter|lader|kompressor)"
    "|temp(?:erature)? apres compresseur|temp(?:eratura)? dopo compressore"
    "|temp(?:eratura)? despues (?:del )?compresor",
    "compressor outlet press": "druck nach (?:verdichter|lader|kompressor)"
    "|pression apres compresseur|pressione dopo compressore|presion despues (?:del )?compresor",
    "compressor inlet temp": "(?:temp|temperatur) vor (?:verdichter|lader|kompressor)"
    "|temp(?:erature)? avant compresseur|temp(?:eratura)? prima compressore",
    "compressor inlet press": "druck vor (?:verdichter|lader|kompressor)"
    "|pression avant compresseur|pressione prima compressore",
    "compressor speed": "(?:verdichter|lader|kompressor)drehzahl|regime compresseur"
    "|giri compressore",
    "time": "zeit|temps|tempo|tiempo|tijd|tid|czas|aika|cas",
    "target": "soll|sollwert|consigne|cible|obiettivo|objetivo|doel",
    "oil": "ol|oel|oldruck|oltemp(?:eratur)?|huile|olio|aceite|olie|olja|oleo",
    "throttle": "drosselklappe|drossel|papillon|farfalla|mariposa|gaspedal",
    "wheel": "rad(?! ?/)|roue|ruota|rueda|wiel",
    "loss": "verlust|verlustleistung|pertes?|perdite|perdidas?|verlies",
    "uncorrected": "unkorrigiert\\w*|unkorr|unkorrig|non corrige\\w*|non corrett\\w*"
    "|sin corregir|ongecorrigeerd\\w*|okorrigera\\w*|ukorriger\\w*|nao corrigid\\w*|korjaamaton"
    "|nieskorygowan\\w*|nekorigovan\\w*|nem korrigalt|korrigalatlan|korrekcio nelkul"
    "|duzeltilmemis|duzeltme(?:siz| yok)|korjaamat\\w*|некорр\\w*"
    "|не ?скорр\\w*|未補正|無補正|補正(?:なし|無し?)|未修正|未校正|無修正"
    "|(?:nicht|niet|inte|ikke|nie|ne|не|no|non|not|pas|ei) (?:ge|s)?(?:korr?ig|corr?[ei]g|corrett"
    "|korek|корр|korj)\\w*"
    "|(?:ohne|sans|senza|sem|sin|zonder|utan|uten|uden|bez|ilman|без|without|keine?|aucune|no"
    "|nessuna|ninguna|nenhuma|geen|ingen) (?:korr?[eiy]\\w*|corr[eie]\\w*|corecc\\w*|corre\\w*"
    "|корр\\w*|поправ\\w*|korja\\w*)",
    "corrected": "korrigiert\\w*|korr|corrige\\w*|corrett\\w*|corregid\\w*|gecorrigeerd"
    "|korrigera\\w*|korrigert|corrigid\\w*|korjattu|skorygowan\\w*",
}
_COMPILED = [
    (english, re.compile(rf"(?<!\w)(?:{others})(?!\w)")) for english, others in _WORDS.items()
]

_OF_CORRECTION = [
    (english, re.compile(pattern.pattern, re.IGNORECASE))
    for english, pattern in _COMPILED
    if english in ("uncorrected", "corrected")
]


def without_accents(text: str) -> str:
    """Return a text without accents on its Latin letters."""
    if text.isascii():
        return text
    apart = unicodedata.normalize("NFD", text)
    return "".join(c for c in apart if not "\u0300" <= c <= "\u036f")


@lru_cache(maxsize=512)
def correction_in_english(text: str) -> str:
    """Return a text with its words on correction in English, and all others as they are."""
    plain = without_accents(text)
    for english, pattern in _OF_CORRECTION:
        plain = pattern.sub(f" {english} ", plain)
    return plain


@lru_cache(maxsize=512)
def in_english(text: str) -> str:
    """Return a text in small letters without accents, its known foreign words in English."""
    plain = unicodedata.normalize("NFKD", text.lower().replace("ß", "ss"))
    plain = "".join(c for c in plain if not unicodedata.combining(c))
    plain = re.sub(r"(?<=\w)['\u2019](?=\w)", " ", plain)
    for english, pattern in _COMPILED:
        plain = pattern.sub(english, plain)
    return plain
