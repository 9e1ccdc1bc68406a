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
        "whenever if because since though although and or but then plus even as once"
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
        "happen hear notice say see goes driver drive cabin inside want need new one two time first last "
        "suddenly slightly completely almost nearly barely dash dashboard display orange yellow amber red "
        "symbol warning message level amount system loudly hard take put use find look try past "
        "garage driveway kind"
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
    r"sometimes|occasionally|intermittent(?:ly)?|from time to time|at times|mostly|usually|often|rarely"
    r"|randomly",
    r"(?:for|since|over|during|in the last|in the past) (?:about |the |a |the last |the past |last |past )*"
    r"(?:\d+|one|two|three|four|five|six|few|couple of|several)? ?"
    r"(?:days?|weeks?|months?|years?|january|february|march|april|may|june|july|august|september|october"
    r"|november|december|spring|summer|autumn|fall|winter|yesterday|last week|last month|last year)\b",
    r"(?:back )?in (?:january|february|march|april|june|july|august|september|october|november|december"
    r"|spring|autumn)\b",
    r"(?:a |\d+ |one |two |three |few |couple of |several )+(?:days?|weeks?|months?|years?) (?:ago|back)",
    r"yesterday|today|tonight|this (?:morning|week|month|year)|last (?:night|week|month|year|summer|winter)"
    r"|lately|recently|the other day|all of a sudden|suddenly|from day one|so far|at the moment|these days",
    r"maybe|perhaps|probably|possibly|i think|i guess|it seems|apparently|kind of|sort of|more or less",
)  # fmt: skip

#: Several words that stand for one: what they stand for, then each way to say it; the longest is taken first.
_MERGES = """
cold outside: in cold
cold weather: in cold weather
cold morning: in cold morning
hot outside: in heat
hot weather: in hot weather
tach: rev counter, rev needle, rpm gauge, tach gauge, rev gauge
airbox: air box, air cleaner box, air filter box
mil: check engine light, check engine lamp, engine light, engine lamp, engine symbol, service
  engine soon, malfunction indicator, mil light, check engine, engine warning light, engine
  management light, mil lamp
lamp: warning light, warning lamp, indicator light, telltale, dash light, dashboard light
several lamp: christmas tree
aircon: air conditioning, air conditioner, air con, a c, ac compressor, climate control, automatic
  climate
gas-pedal: gas pedal, accelerator pedal, throttle pedal, fuel pedal
lift-off: off gas, let off gas, lift off, foot off gas, foot off, off accelerator, back off, let
  go
accelerate: hit gas, step on gas, put foot down, foot down, step on accelerator
press gas-pedal: press gas
accelerate hard: floor it
pull-away: pull away, pulling away, take off, set off, move off, tip in
filler-cap: gas cap, fuel cap, petrol cap, filler cap, tank cap, gasoline cap, fuel filler cap
oil-cap: oil filler cap, oil cap, oil fill cap
fuel-use: gas mileage, fuel mileage, fuel economy, mpg, fuel consumption, petrol consumption, gas
  consumption, mile per gallon, mileage, economy, consumption
use oil: oil consumption
oil lamp: oil pressure light, oil pressure lamp
station: gas station, petrol station
nozzle: pump nozzle, fuel nozzle
standstill: traffic light, stop light, red light, stoplight, at light, in traffic, sit in traffic
stop: stop sign, junction, intersection, roundabout, come to stop, come to halt, slow down, roll
  to stop
in-gear: in drive, into gear, in gear, into drive, into reverse
limp: limp home, limp mode, limp home mode, reduced power, power reduced
stability: traction control, stability control, anti skid, esp, esc, skid
abs: anti lock, antilock
temperature gauge: temp gauge, temp needle, coolant gauge, heat gauge
coolant: anti freeze
temperature: water temperature
steering: power steering, steering wheel
ping: spark knock
knock: engine knock
exhaust: tail pipe
rotten-egg: rotten egg, bad egg, egg
rotten-egg smell: egg smell
valve-cover: valve cover, rocker cover, cam cover
reader: code reader, scan tool, obd scanner, obd reader, scanner, code scanner
obd: obd, obd2, obdii
headlight: head light, head lamp
sparkplug: spark plug
coil: coil pack, coil on plug
fob: key fob
immobiliser: anti theft
immobiliser lamp: security light
crank: turn over, spin over
start: fire up, start up, startup, starting up
die: cut out, conk out, pack up, stop run, quit run, cut-out
key-off: switch off, turn off, turn key off, key off, ignition off, turn engine off, shut engine
  off, shutdown, shut-off, switch engine off
drop-out: drop out
come-on: come on, kick in, turn on, switch on, kick on, light up, lit up, cut in, engage, pop up
go-off: go off
click-off: click off
dead: stop work, quit work
refuel: fill up, fill tank, fill car, put fuel in, put gas in, fuel up, refuelling, refueling
top-up: top up, top off
warm-up: warm up, heat up, up to temperature
cool: cool down, cool off
jump: jump around, all over place, bounce around
always: all time, every time, non stop, nonstop
jump-start: jump start, jumpstart
jump-lead: jump lead, jumper cable
overnight: stand overnight, sit overnight, over night
load: under load
uphill: up hill, up hills, up mountain
bonnet: under hood, under bonnet, engine bay, engine compartment
below: under car, under vehicle, under floor, underneath, underneath car, under truck
wide-open: full throttle, wide open throttle, pedal to metal
airflow: air flow
air-fuel: air fuel
oxygen: o 2, o2
replace: put in, put on
carwash: car wash
go-away: go away, went away
check-valve: check valve
pick-up: pick up
held-back: hold back
towbar: tow bar, tow hitch, trailer hitch
bad-fuel: bad gas, bad fuel, bad petrol
wrong-fuel: wrong fuel, wrong gas
breathless: short of breath
blow-by: blow by
airbag: air bag
"""
MERGES = {
    said.strip(): meant
    for line in _MERGES.replace("\n  ", " ").strip().splitlines()
    for meant, _, ways in [line.partition(": ")]
    for said in ways.split(",")
}

#: Single words that mean the same here; the first of each line stands for all.
SAME = tuple(
    """
    fuel gas gasoline petrol
    smell odor odour stink stench reek fume whiff smelly stinks
    bonnet hood
    boot trunk
    motorway highway freeway interstate expressway autobahn
    lamp light indicator bulb
    gearbox transmission trans tranny
    speedometer speedo
    exhaust tailpipe muffler silencer
    gauge needle guage dial
    temperature temp temps
    gas-pedal
    accelerate acceleration accelerating
    tyre tire
    kerb curb
    vapour vapor
    shake vibrate vibration shudder judder tremble shaky shakes wobble-idle
    ping pink detonate detonation
    hesitate hesitation stumble falter
    jerk buck lurch kangaroo jolt bunnyhop jerky
    die stall quit conk died dying dead-stop
    rough uneven unevenly roughly
    squeal screech squeak squeaky chirp shriek squealing
    rev rpm revs revolution
    tach tachometer
    crank spin
    catch fire
    third 3rd
    fourth 4th
    second 2nd
    carburettor carb carburetor
    refuel refill fuelling
    immobiliser immobilizer antitheft security
    aircon ac
    coolant antifreeze
    oxygen lambda
    wiring harness loom wire cable-loom
    hose pipe tube line
    connector pigtail
    ground earth
    overheat overheating
    soot sooty
    always constantly continuously permanently forever
    jump bounce erratic swing fluctuate jumpy
    replace change swap renew install fit fitted new replacement
    dead inoperative broken kaput inop
    sulphur sulfur
    immediately instantly
    rain rainy raining rainstorm
    humid damp moist humidity
    windshield windscreen
    wait ages eternity
    thirsty guzzle drink
    slow slowly sluggish lazy
    loud louder noisy loudly
    hot hotter
    cold colder
    rattle rattling clatter clattering
    uphill hill incline gradient climb
    ecu ecm pcm
    leak leakage
    tick ticking
    tap tapping
    flat drained discharged
    bump bumpy pothole
    weekend
    mouse mice rodent rat
    misfire misfiring miss
    until till
    flash blink
    flicker
    surge surging
    hunt hunting
    past over above beyond exceed
    cleanse clean
    foot
    sputter splutter cough stutter
    smoke smoky
    emission emissions smog mot
    fail failed
    reset
    tow trailer towing
    high
    low
    dim dull
    hard stiff tough harsh
    heater heating heat
    communicate communication
    connect connection
    sensor probe sonde sensors
    itself themselves own
    idle tickover
    disappear vanish
    froth foam
    press push depress
    open unscrew undo
    shut-off shutoff
    glow shine
    blower fan-of-heater
    quick fast
    petrol-can jerrycan
    difficult awkward
    flutter wobble
    lag delay
    converter convertor
    lifter tappet
    grind grinding
    """.strip().splitlines()
)

#: Irregular forms, cut to the form that the stemmer gives for the plain word.
IRREGULAR = dict(
    pair.split("=")
    for pair in """
    ran=run came=come gone=go done=do sounded=sound shone=shine went=go goes=go broke=break blew=blow
    blown=blow kept=keep lost=lose felt=feel began=begin begun=begin froze=freeze frozen=freeze
    stuck=stick shook=shake drove=drive driven=drive drank=drink rose=rise fell=fall fallen=fall
    burnt=burn lit=light sat=sit stood=stand hung=hang took=take taken=take gave=give heard=hear
    smelt=smell spun=spin swung=swing worn=wear wore=wear eaten=eat leant=lean louder=loud hotter=hot
    colder=cold worse=bad left=leave thrown=throw held=hold melted=melt caught=catch dying=die
    tyres=tyre accelerator=gas-pedal lifted=lift shuts=shut cuts=cut idling=idle refuses=refuse
    oiled=oil-soaked diesels=run-on dieseling=run-on dieselling=run-on
    """.split()
)

#: Two words that deny what follows.
DENIALS = frozenset(
    (
        "fails to",
        "failed to",
        "refuses to",
        "refused to",
        "unable to",
        "no longer",
        "not any",
        "free of",
    )
)

#: What says nothing beyond the codes, or nothing at all: kept as it was said, and matched to nothing else.
SAYS_NOTHING = (
    "check engine light on",
    "check engine light",
    "check engine light came on",
    "check engine light stays on",
    "engine light comes and goes",
    "light comes and goes",
    "light on",
    "light came on",
    "lamp went out by itself",
    "check engine light went off by itself",
    "no codes",
    "no warning lights",
    "starts fine",
    "starts every time",
    "no leak",
    "temperature is normal",
    "temperature is fine",
    "no noises",
    "no strange noises",
    "nothing else",
    "i do not know",
    "not sure",
    "no idea",
    "yes",
    "none",
    "nothing",
    "everything is fine",
    "it is new",
)
