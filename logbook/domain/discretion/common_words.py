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
    ibn mac mr mrs ms dr sir
"""
JOINING = frozenset(_JOINING.split())

_PLACES = """
    abbey alley alp alps amphitheatre arcade arch arches area avenue bank barn barrage barrier basin bay
    bazaar beach beacon bench bend bight block bluff boardwalk boathouse bog boulder bower brae branch
    bridge brook building burn bush cabin cairn camp campsite canal canyon cape car park carpark cascade
    castle cathedral causeway cave cemetery chalet channel chapel chimney church circle city cliff
    cliffs close cloister coast col common corner corrie cottage country courtyard cove crag crater
    creek crest crossing crossroads dale dam deck delta dell den desert dike dock dome dune dunes dyke
    edge embankment end estate estuary eyrie falls farm fell fen ferry field fields fjord flat flats
    footbridge footpath ford foreshore forest fork fort fountain garden gardens gate gateway ghat
    glacier glade glen gorge green grotto grounds grove gulch gulf gully hall hamlet harbour harbor
    haven head headland heath height heights hide highland hill hills hillside hollow holm homestead
    house hut inlet inn island isle islet jetty junction key kiosk knoll ladder lagoon lake lakes
    landing lane ledge lighthouse lock lodge loch lookout lough loop mansion marina market marsh meadow
    meadows mere mill mine minster mire moat monastery monument moor moorland mosque mound mount
    mountain mountains mouth museum narrows neck ness nook oasis observatory orchard outcrop overlook
    paddock palace parade parking pass passage pasture path pavilion peak peaks peninsula pier pillar
    pillars pinnacle place plain plains plateau platform plaza point pond pool pools port portal
    promontory promenade province quarry quay rail railing railway ramp rapids ravine reach reef reserve
    reservoir ridge ring ringroad rise river riverside road roadside rock rocks roof roofs room ruin
    ruins run saddle sanctuary sand sands scar school sea seat shelf shelter shoal shore shrine slab
    slabs slope source spire spit spot spring springs square stable stack stacks stair stairs staircase
    station steps stile stone stones strait strand street stream summit swamp tarn temple terrace
    theatre thicket top tor tower towers town track trail tree trees tunnel turn turret vale valley
    vault view viewpoint village villa vineyard wadi walk walkway wall walls ward warren waste water
    waterfall waterfalls waterfront waters way weir well wells wharf wild windmill wood woods woodland
    yard zoo bach berg brucke burg dorf feld fluss gasse haus hof kirche pfad platz see spitze stadt
    stein strasse tal turm wald wasser weg bois chateau chemin colline eglise ile lac mer mont pic plage
    pont porte riviere rue vallee bosque calle camino cerro iglesia lago monte playa puente puerto rio
    torre valle campo chiesa cima fiume isola piazza ponte porto strada bron dal elv fjell foss gard
    holme mark sjo skog vann vik most hrad dolina gora jezioro potok rynek slate granite limestone
    sandstone basalt chalk marble clay brick bronze copper steel timber concrete gravel pebble pebbles
    shingle mud turf tile tiles lantern lanterns lamp boatyard
"""
_NATURE = """
    alder animal ant apple ash aspen badger bat bear beaver bee beech birch bird birds bison boar
    bracken bud buffalo bull butterfly cat cattle cedar cherry chestnut clover cock cormorant cow coyote
    crane crow cuckoo cypress deer dog dolphin dove duck eagle elder elk elm falcon fern finch fir fish
    flower flowers fly fox frog fungus gannet goat goose grass gull hare hawk hawthorn hazel heather
    hedge hen heron holly horse insect ivy jackdaw jay juniper kestrel kingfisher kite lamb larch lark
    laurel leaf leaves lichen lily lime lion lizard lotus lynx magpie maple martin moss moth mouse oak
    olive osprey otter owl ox palm pear pig pine plant plover poplar poppy puffin rabbit rat raven reed
    reeds robin rook rose rowan rush salmon seal seed sheep snake snow sparrow spider squirrel stag
    starling stoat stork swallow swan swift sycamore thistle thorn thrush toad trout turtle vine vulture
    whale wheat willow wolf woodpecker wren yew
"""
_QUALITIES = """
    above ancient arctic autumn back bad bare bent best better big bitter black bleak blind blue bold
    bottom bright broad broken brown busy calm central cheap clean clear closed cold cool covered
    crooked dark dawn day dead dear deep devil different distant double dry dusk early east eastern easy
    empty evening every extra false famous far fast fine first five flat fog foggy four free fresh front
    full gentle giant gold golden good grand gray great grey half hanging hard heavy hidden high higher
    holy hot hundred hungry icy inner iron just king kings lady large last late left less light little
    lonely long lost loud low lower lucky main many middle midnight misty modern moonlit more morning
    narrow nearest new next nice night nine noon north northeast northern northwest old older one only
    open orange other outer outside own painted pale perfect pink poor precious pretty private public
    purple queen queens quick quiet ragged rain rainbow rainy real red rich right rocky rough round
    royal ruined rusty sacred sad safe salt salty same sandy second secret shadow shady shallow sharp
    short side silent silver simple single six slow small smooth snowy soft solid south southeast
    southern southwest split square standing steep still stony straight strange strong summer sunny
    sunrise sunset sweet tall ten thin third thirsty thousand three tidal tiny twin two upper very warm
    west western wet whispering white whole wide winding windy winter wooden wrong yellow young alt alte
    alter altes blau gross grosse gruen hoch klein kleine neu neue neuen nord ober ost rot schwarz sud
    unter weiss beau belle blanc blanche bleu grande haut haute noir petit petite rouge saint sainte
    sant santa santo san vieux alto blanca blanco bianco nero negro nuevo rojo rosso verde viejo vecchio
    nuovo bila bily cerny cerna dolni horni maly mala nova novy stara stary velka velky
"""
_TRADE = """
    angle aperture arrival backlit backlight balance battery blur bow bracket brackets burst camera
    caption cards centre center cloud clouds colour colours color composition contrast crop cross crowds
    daylight departure depth detail diffraction direction distance drone exposure exposures falloff
    field figure file filter filters flare flash focal focus frame frames framing glare gear glow gnd
    golden grad graduated gust gusts haze highlight highlights histogram hood horizon hour hours image
    images infinity iso keeper keepers kilometre landscape layer lens lenses light lights line lines
    long macro magenta manual medium meter metre metres metering millimetre minute minutes mist moon
    motion nd noise overcast panorama panning pano parallax people perspective photo photograph
    photographer photographs photography picture pictures plan polariser polarizer portrait position
    print raw reflection reflections remote report result scene scouting season second seconds set
    setting settings shade shadows sharpness shoot shooting shot shots showers shutter silhouette silk
    sky skyline speed star stars stitch stop stops storm student students sun sunlight sunstar support
    sway technique telephoto tele texture thunder tide time tone trip tripod tripods tries try twilight
    vibration viewfinder visit visitors warden wardens wave waves weather wide wind window zone zoom
    client brief lesson lessons condition conditions journal outcome fallback january february march
    april june july august september october november december monday tuesday wednesday thursday friday
    saturday sunday
"""
_ENGLISH = """
    about across after again against ago ahead air all almost alone along already also although always
    among any anyone anything apart are arm around arrive arrived art ask asked away baby bag ball bar
    base be beautiful became because become been before began begin behind being believe bell belong
    best bit blow board boat body book born both box boy bread break bring brought build built bus but
    buy cake call called came can cannot card care carry case catch caught cause certain chair chance
    change charge child children choose clock cloth clothes coat coffee come comes coming control cook
    copy corn cost could count course crowd cut dance danger date daughter death decide did difference
    dinner do does doing done door down draw dream dress drink drive driver drop during each ear earth
    eat eight either else enough enter even ever everyone everything example except eye eyes face fact
    fair fall family father feel feet fell felt few fifty fight fill film find finger finish fire fit
    floor follow food foot forget form found friend friends game gave get girl give glad glass go goes
    going gone got ground group grow guess guide had hair hand hands happen happy has hat have he hear
    heard heart heat held help here herself hers hi him himself hold hole home hope hospital hotel how
    however husband ice idea if important inside instead is it job join keep kept kid kill kind kitchen
    knew know land language laugh law lead learn least leave led leg let letter level lie life lift like
    list listen live local lock look looked looking looks lot love lunch made make man map mark master
    matter may maybe me mean meat meet men mention met metal might mile milk mind miss missed moment
    money month mother move much music must name near nearly need neither never news no nobody none nor
    nose not note nothing notice now number nurse often oil ok once opposite or order ours out page paid
    pair paper parent part party past pay pen pencil per perhaps person pick piece place plate play
    please power practice press problem proof pull push put question quite radio race rather read reader
    ready really reason record rest return ride ring road said sale sat saw say says seem seen sell send
    sent seven several shall she ship shoe shop should shout show shut sick sign since sing sister sit
    sky sleep slightly smell smile so some somebody someone something sometimes son song soon sorry sort
    sound space speak stage stand start stay step stick stood story stuff such suddenly sure swim system
    table take taken talk taste teach teacher team tell than thank that them themselves then there these
    they thing things think those though thought through throw ticket till to today together told
    tomorrow tonight too took touch tour toward train travel true truck trust turn twelve twenty uncle
    understand until unit up us use used useful usual visit voice wait want war warn was wash watch we
    wear week weekend weight went were what wheel when where whether which while who whom why wife will
    win wish within without woman women won word work worked world would write year years yes yesterday
    yet you your yours baker butcher fisher hunter miller potter shepherd singer smith tailor taylor
    weaver knight bishop pope abbot monk nun prince princess duke earl lord captain church cross grace
    faith joy grant bill dale dawn glen ray sandy summer violet chase mason carter cooper fowler
    gardener parson walker wells banks bush brown black green white grey young short long rich moody
    sharp strong wise noble
"""


@cache
def common_words() -> frozenset[str]:
    """Return the words, folded, that a name may share with any text."""
    listed = " ".join((_PLACES, _NATURE, _QUALITIES, _TRADE, _ENGLISH)).split()
    enums = [one for one in vars(vocabularies).values() if isinstance(one, type) and issubclass(one, StrEnum)]
    ours = (part for one in enums for member in one for part in member.replace("-", " ").split())
    return JOINING | frozenset(listed) | frozenset(ours)
