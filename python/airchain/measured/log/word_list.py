"""Single words of headings in several languages, as the English ones they mean (no source)."""

from __future__ import annotations

import re
import unicodedata


def word_set(text: str) -> frozenset[str]:
    """Return the words of a text that blanks part."""
    return frozenset(text.split())


#: English words, and what other languages call them. Endings of compounds stand in `_ENDINGS`.
_WORDS = {
    "speed": "predkosc obrotowa omdrejninger drehzahl regime toerental varvtal turtal turtall"
    " omdrejningstal rotacao rotacoes"
    " obroty otacky kierrosluku kierrosnopeus fordulatszam fordulat devir обороты оборотов giri"
    " revoluciones spd vitesse velocita revs 回転数 回転速度 エンジン回転数 エンジン回転 转速 轉速"
    " 发动机转速 회전수",
    "torque": "drehmoment couple coppia par koppel vridmoment moment binario nyomatek tork"
    " vaantomomentti drejningsmoment dreiemoment trq tq torq md момент крутящий obrotowy"
    " tocivy forgatonyomatek トルク 扭矩 转矩 토크",
    "power": "leistung puissance potenza potencia vermogen effekt moc vykon teho teljesitmeny guc"
    " мощность pwr pow horsepower hp bhp kw 出力 馬力 功率 출력",
    "press": "druck pression pressione presion pressao druk tryck tryk trykk paine cisnienie tlak"
    " nyomas basinc давление pressure pres 圧力 压力",
    "temp": "temperatur temperature temperatura temperatuur lampotila teplota homerseklet sicaklik"
    " температура temperaturen tmp 温度",
    "boost": "suralim sovralim ladedruck suralimentation sovralimentazione soplado laaddruk"
    " laddtryck ladetrykk"
    " ladetryk наддув наддува doladowania 過給圧 ブースト ブースト圧 增压",
    "manifold": "saugrohr collecteur collettore colector coletor inlaatspruitstuk insugsror"
    " imusarja kolektor коллектор коллекторе saug manif mani man mnf mfld mnfld manf plenum"
    " 吸気管 マニホールド",
    "charge": "ladeluft laddluft laadlucht ll lade",
    "intake": "ansaug ansaugluft admission admision admissao aspirazione inlaat insug innsug"
    " inlaatlucht imuilma впуск впуска впускного 吸気",
    "exhaust": "abgas echappement scarico escape uitlaat uitlaatgas avgas pakokaasu spalin vyfuk"
    " kipufogo egzoz выхлоп выхлопа выхлопных exh 排気 排温 排气",
    "coolant": "kuhlmittel kuhlwasser wasser eau acqua agua koelwater kylvatten kjolevann kolevand"
    " refroidissement refrigerante jaahdytysneste plyn chladici охлаждающей ож water h2o 水温"
    " 冷却水",
    "air": "luft lucht aria aire ar ilma powietrza vzduch levego hava воздух воздуха 空気 空气",
    "gas": "gaz gases gasen газов газа",
    "cyl": "zyl zylinder cylindre cilindro cil cilinder cylinder цил цилиндр",
    "fuel": "kraftstoff carburant carburante combustible combustivel brandstof bransle drivstoff"
    " braendstof polttoaine paliwo paliwa palivo uzemanyag yakit топливо топлива gasoil sprit"
    " 燃料",
    "flow": "durchfluss massenstrom strom debit portata caudal flode fluss przeplyw расход flux"
    " vazao consumo verbrauch consommation consommazione 流量",
    "mass": "masse massa masa massen",
    "engine": "motor moteur motore motori silnika motoru mot двигателя двигатель eng エンジン"
    " 发动机",
    "time": "zeit temps tempo tiempo tijd tid czas aika cas ido zaman время 時間 时间 시간",
    "baro": "barometer barometric barom barometro barometre barometerstand luftdruck lufttryck"
    " luchtdruk lufttrykk atmospheric atmosphere atmos atm atmospherique atmosferica atmosferico"
    " барометр атмосферное 大気圧 气压 pbaro patm pamb",
    "ambient": "umgebung umgebungs aussen raum ambiante ambiente ambiental omgeving omgivning amb"
    " exterieure esterna kamer sala salle room outside окружающей 室温 外気 tamb raumluft"
    " umgebungsluft aussenluft cellule",
    "humidity": "feuchte luftfeuchte luftfeuchtigkeit feuchtigkeit humidite umidita humedad"
    " umidade"
    " luchtvochtigheid luftfuktighet vochtigheid влажность 湿度 humid rh hum",
    "lambda": "lam lmbd лямбда λ ラムダ wideband wbo2 uego",
    "before": "vor avant prima antes voor fore pre upstream перед",
    "after": "nach apres dopo despues na efter post downstream после",
    "compressor": "verdichter kompressor compresseur compressore compresor lader comp blower"
    " supercharger charger turbo turbocharger sc gebläse",
    "cooler": "cac intercooler ic aftercooler ladeluftkuhler llk",
    "uncorrected": "uncorr unkorr unkorrigiert unkorrigierte unkorrigierten ukorrigert"
    " ongecorrigeerd okorrigerad okorrigerade okorrigerat korjaamaton unc noncorr",
    "observed": "obs raw osservata osservato osservati osservate observada observado observee"
    " observe beobachtet brut brute roh brutto",
    "oil": "ol oel olio aceite huile olie olja oleo oleju масло масла 油温",
    "throttle": "drosselklappe drossel papillon farfalla mariposa gaspedal tps pedal дроссель",
    "target": "soll sollwert consigne cible obiettivo objetivo doel zadane ziel",
    "wheel": "rad roue ruota rueda wiel колесо колеса",
    "loss": "verlust pertes perte perdite perdidas verlies",
    "absolute": "absolut абс абсолютное absoluut absolu absolue assoluto assoluta absoluto"
    " absoluta"
    " absolutne bezwzgledne",
    "relative": "relativ uber изб избыточное relatif relativo relativa relatief wzgledne",
    "left": "links gauche sinistra sx izquierda lh",
    "right": "rechts droite destra dx derecha",
}  # fmt: skip
#: What a compound word ends in, and the word it is then parted into besides its beginning.
_ENDINGS = {
    "temp": r"temperatur|temperatuur|temp|lampotila",
    "press": r"druck|druk|tryck|trykk|tryk|paine",
    "speed": r"drehzahl|toerental|varvtal|turtall|turtal",
    "torque": r"drehmoment|vridmoment|moment|koppel",
    "power": r"leistung|effekt|vermogen",
    "flow": r"massenstrom|durchfluss|volumenstrom|strom|verbrauch|flode",
    "mass": r"masse|massa",
}
#: Words that join others and mean nothing alone.
_JOINING = word_set(
    "de du des d l la le les el los del della dello dei di do da dos das of the a au aux al alla"
    " van het een von der die den im am at och en et e y и в на po od z"
)


def plain(text: str) -> str:
    """Return a text in small letters without accents."""
    apart = unicodedata.normalize("NFKD", text.lower().replace("ß", "ss").replace("ł", "l"))
    return "".join(c for c in apart if not unicodedata.combining(c))


_ENGLISH = {plain(other): word for word, others in _WORDS.items() for other in others.split()}
_COMPOUND = [(w, re.compile(rf"(\w{{2,}}?)(?:{ends})$")) for w, ends in _ENDINGS.items()]
_KNOWN = frozenset(_WORDS)


def words_in_english(text: str) -> list[str]:
    """Return the words of a text in small letters, the known foreign ones in English.

    Compounds are parted, numbers are taken off a word's end, and joining words are left out.
    """
    found: list[str] = []
    for piece in re.findall(r"[^\W\d_]+(?:2o)?|\d+", plain(text)):
        if piece not in _JOINING:
            found += _of_word(piece)
    return found


def _of_word(word: str) -> list[str]:
    if word in _KNOWN or word in _ENGLISH:
        return [_ENGLISH.get(word, word)]
    for ending, pattern in _COMPOUND:
        parted = pattern.match(word)
        for first in (parted[1], parted[1].removesuffix("s")) if parted else ():
            if first in _ENGLISH or first in _KNOWN:
                return [_ENGLISH.get(first, first), ending]
    return [word]
