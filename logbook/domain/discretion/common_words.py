"""Words that give no place and no person away by themselves: of places, the trade, and plain English.

One surprising decision: the list is short and written by hand. A word that is missing from it is struck now
and then where it was harmless, and can be let stand; a word too many would let a name through.
"""

from enum import StrEnum
from functools import cache

from logbook.domain import words as vocabularies

# Words that stand between the words of a name, or before them, in some languages of maps.
_JOINING = """
    a an and as at behind below beneath beside between by for from her his in into its my near of off on
    onto our over s st t the their this to towards under upon via with al am auf bei das de del dela
    dell della dello dem den der des di die do dos du e el en et gli i il im ind la las le les lo los na
    nad o ob och og pa po pod pri sur sul u ud und une unter van ved vid von vom w y z za zu zum zur bin
    ibn mac mr mrs ms dr prof professor sir herr frau hr fru madame mme mlle monsieur senor senora signor
    signora av da dal dei ins or te ten
"""
JOINING = frozenset(_JOINING.split())

_PLACES = """
    abbey alley alp alps arch arches area avenue bank barn barrage barrier basin bay beach beacon bench
    bend bight block bluff boardwalk boathouse bog boulder branch bridge brook building bush cabin cairn
    camp canal canyon cape car park carpark castle cathedral causeway cave chalet channel chapel church
    circle city cliff cliffs close cloister coast col common corner cottage cove crag crater creek crest
    crossing crossroads dale dam deck delta dell den desert dike dock dome dune dunes dyke edge
    embankment end estate estuary eyrie falls farm fell fen ferry field fields fjord flat flats ford
    forest fork fort fountain garden gardens gate gateway glacier glade glen gorge green grotto grounds
    grove gulch gulf gully hall hamlet harbour harbor haven head headland heath height heights hide hill
    hills hillside hollow house hut inlet inn island isle islet jetty junction key knoll ladder lagoon
    lake lakes landing lane ledge lighthouse lock lodge loch lookout lough loop market marsh meadow
    meadows mere mill mine mire moat monastery monument moor mound mount mountain mountains mouth museum
    narrows neck nook oasis observatory orchard outcrop overlook palace parking pass passage pasture
    path pavilion peak peaks peninsula pier pillar pinnacle place plain plains plateau platform plaza
    point pond pool pools port promontory promenade quarry quay rail railing railway ramp rapids ravine
    reach reef reserve reservoir ridge ring rise river riverside road rock rocks roof ruin ruins run
    saddle sand sands scar school sea seat shelf shelter shoal shore shrine slab slabs slope source
    spire spit spot spring springs square stable stack stacks stair stairs staircase station steps stile
    stone stones strait strand street stream summit swamp tarn temple terrace theatre thicket top tor
    tower towers town track trail tree trees tunnel turn turret vale valley vault view viewpoint village
    vineyard walk walkway wall walls ward water waterfall waters way weir well wells wharf wild windmill
    wood woods woodland yard see mark most chalk clay brick copper timber gravel pebble mud tile lantern
    lanterns lamp slate granite marble limestone sandstone basalt flint shale viaduct highway gap
    gallery manor
    court shell horn hook nest notch rim pit post pole range rope scree spur shoulder tip trough wing cellar
    entrance fence gates office region site wreck wrecks tent boats
"""
_NATURE = """
    alder animal ant apple ash aspen badger bat bear bee beech birch bird birds bison boar bracken bull
    butterfly cat cattle cedar chestnut clover cow crane crow cuckoo cypress deer dog dolphin dove duck
    eagle elder elk elm falcon fern fir fish flower flowers fox frog gannet goat goose grass gull hare
    hawk hawthorn hazel heather hedge heron holly horse ivy jackdaw juniper kestrel kingfisher kite lamb
    larch lark laurel leaf leaves lichen lily lime lion lynx magpie maple martin moss moth mouse oak
    olive osprey otter owl ox palm pear pig pine poplar poppy puffin rabbit raven reed reeds robin rose
    rowan rush salmon seal sheep snake snow sparrow spider squirrel stag starling stork swallow swan
    swift thistle thorn thrush toad trout turtle vine vulture whale willow wolf wren yew
"""
_QUALITIES = """
    above autumn back bare best big black blue bottom bright broad brown calm central clear closed cold
    crooked dark dawn day dead deep different distant double dry dusk early east eastern empty evening
    every false far first five flat fog four free fresh front full gentle giant gold golden good grand
    gray great grey half hanging hard heavy hidden high higher hot inner iron just king kings lady large
    last late left less light little lonely long lost low lower main many middle midnight misty more
    morning narrow nearest new next nice night nine noon north northeast northern northwest old one only
    open orange other outer outside own pale pink pretty private public purple queen quick quiet rain
    rainbow rainy red rich right rough round royal rusty sacred sad salt same sandy second secret shadow
    shallow sharp short side silent silver single six slow small smooth soft solid south southeast
    southern southwest split square steep still straight strange strong summer sunny sunrise sunset
    sweet tall ten thin third three tiny twin two upper very warm west western wet white whole wide
    winding windy winter wrong yellow young alt neu neue saint
"""
_TRADE = """
    angle aperture arrival balance bow bracket brackets burst camera caption centre center cloud clouds
    colour color cross departure depth detail direction distance exposure exposures field figure file
    filter filters flash focal focus frame frames framing gear glow gnd golden grad graduated gust
    horizon hour hours image infinity iso keeper keepers landscape lens light line lines long macro
    manual medium meter metres metering minute minutes mist moon motion nd noise overcast panorama
    people photographer picture pictures plan polariser polarizer portrait position print reflection
    report result scene scouting season second seconds set setting settings shade shadows sharpness
    shoot shooting shot shots shutter silk sky skyline speed star stars stop stops storm student
    students sun sunlight support technique texture thunder tide time trip tripod tripods tries try
    afternoon breeze current curve dew dust echo frost gale hail mirror model paint pattern rust scale shape
    smoke surface tail tape test tool twilight visit visitors warden wardens wave waves weather wide
    wind window zone client brief lesson
    lessons condition conditions journal outcome fallback january february march april june july august
    september october november december monday tuesday wednesday thursday friday saturday sunday
"""
_ENGLISH = """
    about across after again against air all alone along already also always any anyone apart are arm
    around arrive arrived art ask asked away bag ball bar base be became because become been before
    begin behind bell best board boat body book both box boy bread break bring brought build bus but
    called came can cannot card care carry catch chair chance change child children choose clock cloth
    coat come comes coming control cook copy cost could count crowd cut date daughter decide did
    difference do does done door down dream drive driver drop each earth eight else enough even
    everything eye face fact fall family father feet fell few fifty fill find finger finish fire fit
    floor follow foot form found friend game get girl give glass go goes going gone ground group guide
    had hand hands happy has hat have heart heat held help here hold hole home hope hotel how ice if
    inside instead is it keep kept kind know land lead least leave let letter level like list live local
    lock look looks made make man map mark master may mean men metal milk mind missed moment month
    mother move much music must name near nearly need never no nobody none nor not note nothing now
    number often oil ok once or order out page paid pair paper part party past pen per person piece
    place plate power put question quite rather read reason record rest return ring road said say says
    seen send seven ship show shut sign since sister sky slightly so some somebody something son song
    soon sort sound space stage stand start stay step stick stood story such sure table take taken
    teacher team tell than that them then there these they thing those through ticket till to today
    together told too took touch toward travel true truck turn twelve twenty until unit up us use used
    usual visit voice wait want was wash watch week weekend weight were what wheel when where which
    while who whom why wife will wish within without woman women word work worked would write year years
    yes yet you your baker butcher fisher hunter miller shepherd smith weaver knight bishop monk nun
    coaches crew doctor farmer guard guest neighbour owner priest tourist tourists prince princess
    duke earl lord captain church cross grace grant dale dawn glen sandy summer violet
    mason cooper gardener walker wells banks bush brown black green white grey young short long rich
    sharp strong almost although among anything began being believe either enter ever everyone except
    feel felt got happen he hear heard herself him himself however looked looking maybe me might neither
    perhaps really saw seem several shall she should someone sometimes suddenly themselves though
    thought tomorrow tonight we went whether won yesterday yours
"""


@cache
def common_words() -> frozenset[str]:
    """Return the words, folded, that a name may share with any text."""
    listed = " ".join((_PLACES, _NATURE, _QUALITIES, _TRADE, _ENGLISH)).split()
    enums = [one for one in vars(vocabularies).values() if isinstance(one, type) and issubclass(one, StrEnum)]
    ours = (part for one in enums for member in one for part in member.replace("-", " ").split())
    return JOINING | frozenset(listed) | frozenset(ours)
