"""What the matcher knows of English: words that mean the same here, words without weight, denial, hedges.

All of it is language, nothing is knowledge of vehicles; the words of symptoms, parts and tools stand in the
book. Words are written plainly; ``tokens`` cuts them to stems in the same way as any text.
"""

from __future__ import annotations

#: Said without any meaning for the match.
IDLE = frozenset(
    (
        "a an the my our your his her their its it i im ive we you he she they this that thats these those "
        "there theres is are was were be been being am do does did has have had having will would could "
        "should can may might must of to for from by as so just really very quite rather pretty bit "
        "little somewhat some any kind sort like get gets got getting gotten seem seems make makes making "
        "made me us them what which who about well now please think guess mine anymore more than too much "
        "lot lots ever only also even yet right straight strong strongly self myself while whilst with when "
        "whenever if because since until till though although and or but then plus even as once"
    ).split()
)
#: Carried by the merges below; what is left of them afterwards says nothing.
PARTICLES = frozenset(
    "at on off up out over down in into away back through under onto upon around along across behind".split()
)
#: Particles that are kept all the same: a tank that was out is no tank.
TELLING = frozenset("off up out down away back through under".split())
#: Words with little weight of their own.
LIGHT = frozenset(
    (
        "engine car vehicle truck van auto automobile suv motor problem issue trouble thing noise sound "
        "bad badly terrible awful weird strange funny odd great heavy all every each whole keep "
        "always again still other else way time day always sometimes side come turn give show go "
        "happen hear notice say see goes driver drive cabin inside want need new one two time first last kind "
        "suddenly slightly completely almost nearly barely dash dashboard display orange yellow amber red "
        "symbol warning message level amount system loudly hard take put use find look try past garage driveway"
    ).split()
)
#: What begins a denial; it reaches to the next boundary word or mark.
NEGATIONS = frozenset(
    (
        "no not never without nothing none neither nor wont doesnt dont didnt isnt arent wasnt werent cant "
        "cannot couldnt wouldnt hasnt havent hadnt shouldnt aint"
    ).split()
)
#: Words at which a text may be cut in two; ``or`` carries a denial on, the others end it.
BOUNDARIES = frozenset(
    (
        "and but then also plus when whenever while whilst if because since until till though although "
        "only after before with unless except as during once in at on or without no"
    ).split()
)
CARRIES_ON = frozenset(("or", "nor"))
#: A word said for another with the opposite meaning counts as the other one denied.
OPPOSITES = {"smooth": "rough", "smoothly": "rough", "steady-idle": "rough"}

#: How often, how long and since when: they go with a match and say nothing of what it is.
HEDGES = (
    r"(?:every )?(?:now and (?:then|again)|once in a while|so often|few days)",
    r"sometimes|occasionally|intermittent(?:ly)?|from time to time|at times|mostly|usually|often|rarely|randomly",
    r"(?:for|since|over|during|in the last|in the past) (?:about |the |a |the last |the past |last |past )*"
    r"(?:\d+|one|two|three|four|five|six|few|couple of|several)? ?"
    r"(?:days?|weeks?|months?|years?|january|february|march|april|may|june|july|august|september|october"
    r"|november|december|spring|summer|autumn|fall|winter|yesterday|last week|last month|last year)\b",
    r"(?:a |\d+ |one |two |three |few |couple of |several )+(?:days?|weeks?|months?|years?) (?:ago|back)",
    r"yesterday|today|tonight|this (?:morning|week|month|year)|last (?:night|week|month|year|summer|winter)"
    r"|lately|recently|the other day|all of a sudden|suddenly|from day one|so far|at the moment|these days",
    r"maybe|perhaps|probably|possibly|i think|i guess|it seems|apparently|kind of|sort of|more or less",
)  # fmt: skip

#: Several words that stand for one; the longest is taken first.
MERGES: dict[str, str] = {
    # the vehicle's own words
    "check engine light": "mil", "check engine lamp": "mil", "engine light": "mil", "engine lamp": "mil",
    "engine symbol": "mil", "service engine soon": "mil", "malfunction indicator": "mil", "mil light": "mil",
    "check engine": "mil", "engine warning light": "mil", "engine management light": "mil", "mil lamp": "mil",
    "warning light": "lamp", "warning lamp": "lamp", "indicator light": "lamp", "telltale": "lamp",
    "dash light": "lamp", "dashboard light": "lamp", "christmas tree": "several lamp",
    "air conditioning": "aircon", "air conditioner": "aircon", "air con": "aircon", "a c": "aircon",
    "ac compressor": "aircon", "climate control": "aircon", "automatic climate": "aircon",
    "gas pedal": "gas-pedal", "accelerator pedal": "gas-pedal", "throttle pedal": "gas-pedal",
    "fuel pedal": "gas-pedal", "off gas": "lift-off", "let off gas": "lift-off",
    "lift off": "lift-off", "foot off gas": "lift-off", "foot off": "lift-off",
    "off accelerator": "lift-off", "back off": "lift-off", "let go": "lift-off",
    "hit gas": "accelerate", "step on gas": "accelerate", "press gas": "press gas-pedal",
    "floor it": "accelerate hard", "put foot down": "accelerate",
    "foot down": "accelerate", "step on accelerator": "accelerate",
    "pull away": "pull-away", "pulling away": "pull-away", "take off": "pull-away", "set off": "pull-away",
    "move off": "pull-away", "tip in": "pull-away",

    "gas cap": "filler-cap", "fuel cap": "filler-cap", "petrol cap": "filler-cap", "filler cap": "filler-cap",
    "tank cap": "filler-cap", "gasoline cap": "filler-cap", "fuel filler cap": "filler-cap",
    "oil filler cap": "oil-cap", "oil cap": "oil-cap", "oil fill cap": "oil-cap",
    "gas mileage": "fuel-use", "fuel mileage": "fuel-use", "fuel economy": "fuel-use", "mpg": "fuel-use",
    "fuel consumption": "fuel-use", "petrol consumption": "fuel-use", "gas consumption": "fuel-use",
    "mile per gallon": "fuel-use", "mileage": "fuel-use", "economy": "fuel-use", "consumption": "fuel-use",
    "oil consumption": "use oil", "oil pressure light": "oil lamp", "oil pressure lamp": "oil lamp",
    "gas station": "station", "petrol station": "station", "pump nozzle": "nozzle", "fuel nozzle": "nozzle", "traffic light": "standstill", "stop light": "standstill", "red light": "standstill", "stoplight": "standstill",
    "at light": "standstill", "stop sign": "stop", "in traffic": "standstill", "sit in traffic": "standstill",
    "junction": "stop", "intersection": "stop", "roundabout": "stop",
    "come to stop": "stop", "come to halt": "stop", "slow down": "stop", "roll to stop": "stop",
    "in drive": "in-gear", "into gear": "in-gear", "in gear": "in-gear", "into drive": "in-gear",
    "into reverse": "in-gear", "limp home": "limp", "limp mode": "limp", "limp home mode": "limp",
    "reduced power": "limp", "power reduced": "limp",
    "traction control": "stability", "stability control": "stability", "anti lock": "abs",
    "anti skid": "stability", "esp": "stability", "esc": "stability", "skid": "stability", "antilock": "abs",
    "temp gauge": "temperature gauge", "temp needle": "temperature gauge", "coolant gauge": "temperature gauge",
    "heat gauge": "temperature gauge", "anti freeze": "coolant", "water temperature": "temperature",
    "power steering": "steering", "spark knock": "ping", "engine knock": "knock", "tail pipe": "exhaust",
    "rotten egg": "rotten-egg", "bad egg": "rotten-egg", "egg": "rotten-egg", "egg smell": "rotten-egg smell",
    "valve cover": "valve-cover", "rocker cover": "valve-cover", "cam cover": "valve-cover",
    "code reader": "reader", "scan tool": "reader", "obd scanner": "reader", "obd reader": "reader",
    "scanner": "reader", "code scanner": "reader", "obd": "obd", "obd2": "obd", "obdii": "obd",
    "steering wheel": "steering", "head light": "headlight", "head lamp": "headlight",
    "spark plug": "sparkplug", "coil pack": "coil", "coil on plug": "coil",
    "key fob": "fob", "anti theft": "immobiliser", "security light": "immobiliser lamp",
    # deeds and states
    "turn over": "crank", "spin over": "crank", "fire up": "start", "start up": "start", "startup": "start",
    "starting up": "start", "cut out": "die", "cut off": "die", "shut off": "die", "shut down": "die",
    "switch off": "key-off", "turn off": "key-off", "turn key off": "key-off", "key off": "key-off",
    "ignition off": "key-off", "turn engine off": "key-off", "shut engine off": "key-off",
    "shutdown": "key-off", "shut-off": "key-off", "switch engine off": "key-off",
    "conk out": "die", "pack up": "die", "stop run": "die", "quit run": "die", "drop out": "drop-out",
    "come on": "come-on", "kick in": "come-on", "turn on": "come-on", "switch on": "come-on",
    "kick on": "come-on", "light up": "come-on", "lit up": "come-on", "cut in": "come-on", "engage": "come-on",
    "pop up": "come-on", "go off": "go-off", "click off": "click-off",
    "cut-out": "die", "stop work": "dead", "quit work": "dead",
    "fill up": "refuel", "fill tank": "refuel", "fill car": "refuel",
    "put fuel in": "refuel", "put gas in": "refuel", "fuel up": "refuel",
    "refuelling": "refuel", "refueling": "refuel", "top up": "top-up", "top off": "top-up",
    "warm up": "warm-up", "heat up": "warm-up", "cool down": "cool", "cool off": "cool", "up to temperature": "warm-up",
    "jump around": "jump", "all over place": "jump",
    "bounce around": "jump", "all time": "always", "every time": "always", "non stop": "always", "nonstop": "always",
    "jump start": "jump-start", "jumpstart": "jump-start", "jump lead": "jump-lead", "jumper cable": "jump-lead",
    "stand overnight": "overnight", "sit overnight": "overnight", "over night": "overnight",
    "under load": "load", "up hill": "uphill", "up hills": "uphill", "up mountain": "uphill",
    "under hood": "bonnet", "under bonnet": "bonnet", "engine bay": "bonnet", "engine compartment": "bonnet",
    "under car": "below", "under vehicle": "below", "under floor": "below", "underneath": "below",
    "underneath car": "below", "under truck": "below",
    "full throttle": "wide-open", "wide open throttle": "wide-open", "pedal to metal": "wide-open",
    "air flow": "airflow", "air fuel": "air-fuel", "o 2": "oxygen", "o2": "oxygen",
    "put in": "replace", "put on": "replace", "car wash": "carwash", "go away": "go-away", "went away": "go-away",
    "check valve": "check-valve", "pick up": "pick-up", "hold back": "held-back", "tow bar": "towbar",
    "tow hitch": "towbar", "trailer hitch": "towbar", "bad gas": "bad-fuel", "bad fuel": "bad-fuel",
    "bad petrol": "bad-fuel", "wrong fuel": "wrong-fuel", "wrong gas": "wrong-fuel",
    "short of breath": "breathless", "blow by": "blow-by", "air bag": "airbag",
}  # fmt: skip

#: Single words that mean the same here; the first of each line stands for all.
SAME = (
    "fuel gas gasoline petrol", "smell odor odour stink stench reek fume whiff smelly stinks",
    "bonnet hood", "boot trunk", "motorway highway freeway interstate expressway autobahn",
    "lamp light indicator bulb", "gearbox transmission trans tranny", "speedometer speedo",
    "exhaust tailpipe muffler silencer", "gauge needle guage", "temperature temp temps",
    "gas-pedal", "accelerate acceleration accelerating", "tyre tire", "kerb curb", "vapour vapor",
    "shake vibrate vibration shudder judder tremble shaky shakes wobble-idle", "ping pink detonate detonation",
    "hesitate hesitation stumble falter", "jerk buck lurch kangaroo jolt bunnyhop jerky",
    "die stall quit conk died dying dead-stop", "rough uneven unevenly roughly",
    "squeal screech squeak chirp shriek squealing", "rev rpm revs revolution tach",
    "crank spin", "start catch fire", "refuel refill fuelling", "immobiliser immobilizer antitheft security",
    "aircon ac", "coolant antifreeze", "oxygen lambda", "wiring harness loom wire cable-loom",
    "hose pipe tube line", "connector pigtail", "ground earth", "overheat overheating", "soot sooty",
    "always constantly continuously permanently forever", "jump bounce erratic swing fluctuate jumpy",
    "replace change swap renew install fit fitted new replacement", "dead inoperative broken kaput inop",
    "sulphur sulfur", "immediately instantly", "rain rainy raining rainstorm", "humid damp moist humidity",
    "windshield windscreen", "wait ages eternity", "thirsty guzzle drink", "slow slowly sluggish lazy",
    "loud louder noisy loudly", "hot hotter", "cold colder", "rattle rattling clatter clattering",
    "uphill hill incline gradient climb", "ecu ecm pcm", "leak leakage", "tick ticking", "tap tapping",
    "flat drained discharged", "bump bumpy pothole", "weekend", "mouse mice rodent rat", "misfire misfiring miss",
    "flash blink", "flicker", "surge surging", "hunt hunting", "past over above beyond exceed",
    "cleanse clean", "foot", "sputter splutter cough", "smoke smoky", "emission emissions smog mot",
    "fail failed", "reset", "tow trailer towing", "high", "low", "dim dull", "hard stiff tough",
    "heater heating heat", "communicate communication", "connect connection", "sensor probe sonde sensors",
    "itself themselves own", "converter convertor", "lifter tappet", "grind grinding",
)  # fmt: skip

#: Irregular forms, cut to the form that the stemmer gives for the plain word.
IRREGULAR = {
    "ran": "run", "came": "come", "went": "go", "goes": "go", "broke": "break", "blew": "blow", "blown": "blow",
    "kept": "keep", "lost": "lose", "felt": "feel", "began": "begin", "begun": "begin", "froze": "freeze",
    "frozen": "freeze", "stuck": "stick", "shook": "shake", "drove": "drive", "driven": "drive",
    "drank": "drink", "rose": "rise", "fell": "fall", "fallen": "fall", "burnt": "burn", "lit": "light",
    "sat": "sit", "stood": "stand", "hung": "hang", "took": "take", "taken": "take", "gave": "give",
    "heard": "hear", "smelt": "smell", "spun": "spin", "swung": "swing", "worn": "wear", "wore": "wear",
    "eaten": "eat", "leant": "lean", "louder": "loud", "hotter": "hot", "colder": "cold", "worse": "bad",
    "left": "leave", "thrown": "throw", "held": "hold", "melted": "melt", "caught": "catch", "dying": "die",
    "tyres": "tyre", "accelerator": "gas-pedal", "lifted": "lift", "shuts": "shut", "cuts": "cut", "idling": "idle", "refuses": "refuse",
}  # fmt: skip

#: Two words that deny what follows.
DENIALS = (
    "fails to",
    "failed to",
    "refuses to",
    "refused to",
    "unable to",
    "no longer",
    "not any",
    "free of",
)

#: What says nothing beyond the codes, or nothing at all: kept as it was said, and matched to nothing else.
SAYS_NOTHING = (
    "check engine light on", "check engine light", "check engine light came on", "check engine light stays on",
    "engine light comes and goes", "light comes and goes", "light on", "light came on", "lamp went out by itself",
    "check engine light went off by itself", "no codes", "no warning lights", "starts fine", "starts every time",
    "no leak", "temperature is normal", "temperature is fine", "no noises", "no strange noises", "nothing else",
    "i do not know", "not sure", "no idea", "yes", "none", "nothing", "everything is fine", "it is new",
)  # fmt: skip
