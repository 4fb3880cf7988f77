"""Words that describe a plant, its place, its season or its sale, and so explain themselves on a line of an
offer. Plain word lists; how they are compared stands in nametext.py. Common practice, no source: collected for
this program."""

from __future__ import annotations

COLOUR = """
amber apricot azure black bluish bright brilliant bronze bronzy brown buff burgundy carmine cerise chartreuse
cinnamon colorful coppery coral cream creamy crimson dark deep ebony emerald fiery fuchsia glaucous gold golden
gray grayish green greenish grey indigo ivory lavender lemon lilac lime maroon magenta mahogany mauve multicolored
ochre olive orange pale pastel peach pink pinkish plum powder purple purplish red reddish rose rosy ruby russet
rust rusty salmon sapphire scarlet shades showy silver silvery sky slate soft tan tawny tinged tinted tone tones
tricolor turquoise variegated velvety vermilion vibrant violet vivid white whitish wine yellow yellowish hue hues
mottled speckled spotted striped streaked edged veined contrasting
"""
SIZE = """
average big biggest broad bushy close compact deep deeper dense diameter dwarf enormous feet full giant giants
gigantic heavy height heights huge inch jumbo large larger largest length little long longer low lower massive
mature maturity medium mid mini miniature modest narrow oversize oversized petite round rounded shallow short
shorter single slender slim small smaller spacing spaced sparse tall taller tallest thick thicker thin tiny
towering vase width wide wider widths xl double triple twice apart
"""
LIGHT = """
bright dappled dusk exposure exposed filtered full light lightly midday morning partial partially partly semi
shade shaded shady sun sunlight sunlit sunny sunshine sheltered shelter
"""
PLACE = """
acid acidic adaptable adaptability adapts alkaline anywhere areas backwater backwaters bank banks basin basins
bayou bays beds bench berm bioretention bioswale bioswales bog bogs border borders bottomland bottomlands brackish
brook brooks clay clayey coast coastal conditions container containers cove creek creeks damp ditch ditches
drainage drained draining drought dry edge edges estuary fen fens fertile field fields flood flooded flooding
floodplain floodplains foreground fresh freshwater garden gardens gravel gravelly habitat habitats hill humid humus
inland island islands lagoon lake lakes lakeshore loam loamy low lowland lowlands margin margins marsh marshes
marshy meadow meadows mesic midwest moist moisture mountain muck mucky mud muddy neutral north northeast northern
northwest open peaty ph plain plains planter pond ponds pondside pool pools poorly prairie prairies rain region
regional regions rich rip river riverbank riverbanks rivers riverside rock rocky roadside salt saline sand sandy
saturated seep seeps seepage shallows shore shoreline shorelines shores silt silty slough sloughs soggy soil soils
south southeast southern southwest spring springs standing stream streambank streambanks streams streamside submerged
substrate swale swales swamp swamps swampy temporary terrestrial tidal tolerance tolerant tolerate tolerates tolerating
upland valley water waterfall waterfalls waterfront waterlogged waters waterside waterway waterways wet wetland
wetlands wetter wettest wood woodland woodlands woods county counties gulf appalachian atlantic piedmont delta
eastern western central lower upper ecotype ecotypes provenance local locally origin stormwater retention detention
inches mulch patio urban rural residential suburban yard yards lawn lawns landscape landscapes background
"""
SEASON = """
always anytime april august autumn autumnal bloomer bloomers blooming blooms blossom blossoms blossoming continuous
continuously cool crop dormant early earliest evergreen everblooming extended fall february first flower flowered
flowering flowers fortnight frost frosts going hard heat hot january july june last lasting late later long
march may mid midseason midsummer month months november october period reblooming repeat season seasonal seasons
semi september spring summer summers through throughout warm winter winters year years yearly
"""
USE = """
accent accents addition amphibian amphibians anchor anchors attract attracting attraction attractive attracts attractant
bait bee bees beneficial benefit benefits bird birds biodiversity bluebird browse browsing bumblebee bumblebees butterfly butterflies
bouquet bouquets caterpillar caterpillars control controls cover covers cut deer deterrent dragonflies dragonfly duck ducks eat
eaten edible edibles edging egret egrets encourage encourages erosion filter filtering filters filtration fish fishes food
forage frog frogs geese goose grazed groundcover habitats heron herons hide hiding hold holder holding holds home host
hosts hummer hummers hummingbird hummingbirds insect insects invertebrates larvae larva larval livestock mallard mallards mammal mammals minnow monarch
monarchs moth moths muskrat muskrats naturalize naturalizes naturalizing nectar nectary nest nesting nests nutrient nutrients
ornamental ornament pollen pollinator pollinators pollinating pollution privacy protect protection protects provide provides
providing purification purify purifying rabbit rabbits reclamation refuge remediation resist resistance resistant restoration restorations revegetation riparian
screen screening screens seed seedhead seedheads seeds shelters skipper skippers slope slopes songbird songbirds specimen specimens stabilization
stabilize stabilizer stabilizes stabilizing structure swallowtail swallowtails texture textural turtle turtles underplanting use used useful uses
visited wader waders waterfowl wetlands wildlife windbreak source sources value valued favored favorite larvae spawning fry bass bluegill
teal wood turkey turkeys quail pheasant pheasants finches finch sparrows warblers
"""
HABIT = """
aggressive arching aromatic citrus branched branches branching bristly bushy carpet carpeting cascading clonal clump clumper clumpers clumping clumps
colonies colonize colonizer colonizes colonizing colony columnar creep creeper creepers creeping creeps curly densely drooping easily emergent emerges erect
erectly fast feathery fibrous fine finely fleshy float floating floats forming forms fragrance fragrant fruit fruiting fruits full glossy graceful
grass grasslike grassy grow grower growers growing grown grows growth habit habits hairy hairless hardy hardiness herbaceous humble layered leafed leafy leaved lush
mass massed mat mats matted matting multi multiple naturalised naturalizer nodding open patch patches perennial prolific rapid rapidly reed reedlike reliable reliably rhizomatous
rambling root rooted rooting roots rosette rosettes running runner runners scent scented self shiny shrub shrubby slow slowly smooth spread spreader spreaders spreading
spreads sterile stiff stoloniferous stolons straight strappy strap strong stronger suckering suckers sturdy submerged submersed subshrub sweet sword swordlike textured tight toothed trailing tree trees
tropical tubular tufted tufts twining upright vertical vigor vigorous vigorously vine vining weeping winged woody wispy airy ferny grassy well behaved behaving leathery waxy papery woolly silky sticky alike dioecious taproot taproots male female fertile pollinated
monoecious deciduous semievergreen annual annuals biennial biennials shortlived longlived established establishes establish established tussock tussocks tussocking
"""
PARTS = """
bark base berries berry blade blades bloom bract bracts branch branches bud buds burs burrs calyx cane canes capsule capsules catkin catkins
cluster clusters clustered colors cone cones corm corms crown crowns cups disc disk dots ear ears eye eyes fan fans fiddlehead
fiddleheads floret florets acorn acorns spray sprays flower flowerhead flowerheads foliage frond fronds fruits globe globes head heads heart hearts hip hips inflorescence
inflorescences leaf leaflets leaves lip lobe lobed nut nutlet nutlets nuts pad pads panicle panicles petal petals pistils plume plumes
pod pods raceme racemes rays ray rhizome rhizomes ribbon ribbons rootball sepals shaft shafts shoot shoots shape shaped sheath shoots side sides
spadix spathe spear spears spike spiked spikelet spikelets spikes spires spire stalk stalks stamen stamens star starry starburst starbursts stem stemmed
stems stolon tassel tassels tendrils throat thorns thornless tip tips tops top tuber tubers turion turions twig twigs umbel umbels underside undersides vein veins
whorl whorled whorls winterbuds wing wings arrow arrows arrowshaped bell bells bottlebrush bullet button buttons candle candelabra club cotton cottony finger fingers flat fuzzy
needle needles oval pincushion pyramidal rod scales scaly shield spoon triangular trumpet trumpets tube tubes wand wands
"""
PRAISE = """
absolutely abundance abundant abundantly always amazing awesome beautiful beauty best better boasts breathtaking bold bring brings charming classic cheerful choice clean colorful
common considered cottage delicate delightful delight dependable dramatic durable ease easy effective elegant enhance essential excellent exceptional exceptionally exotic
extra extremely eye fabulous fancy favourite feature features featuring fine finest forgiving gem glorious glowing good gorgeous grand great handsome healthy helpful heirloom heritage highly hit ideal
important impressive incredible incredibly interesting interest invaluable keeper love loved loves lovely low maintenance magnificent majestic many masses most must native natives natural naturalistic naturally neat nice number one
outstanding perfect perfectly picture plenty plentiful pleasing popular premier premium pretty profuse profusely prized proven quality quick quickly quite rare rarely really recommended relatively remarkable robust rugged seasoned
sensational serene showier showiest showstopper showstopping simple special spectacular splendid stately striking stunning stunner super superb superior sure terrific thrive thrives thriving top tough traditional true truly trouble
underused uncommon undemanding unique unusual useful valuable versatile virtually wild wonderful workhorse worthy workhorses unbeatable unfussy fussy carefree care
"""
TRADE = """
alive arrives available availability bagged batch bundled chemical claims collected container containerized crop crops cutting cuttings deep delivered division divisions domestic ecotyped ethically
ex farm fieldgrown florist freshly genuine genetic genetics germinated grade greenhouse grown guarantee guaranteed hand harvested herbicide homegrown house inspected inventory item label labeled
landscaper landscapers larger licensed limit liner live locally mailorder market mature neonic neonicotinoid neonics nice nursery offering only open organic organically organics organism pack paperpot permit pesticide pesticides peat pickup
photo pictured pollinated pot potbound potted preorder promo propagated propagation quart raised ready release responsibly retail rooted run sale seedgrown seedling seedlings select selected selection shipping sized source sourced specials
sprayed staked starter starters stocked straight strain sustainably tagged transplant transplants treated tree trimmed unrooted value vegetatively washed well wholesale wrapped young older yr yrs yo gallon fert free freefrom
bonus inquire deal deals discount discounted clearance closeout overstock overstocked arriving arrived soon just back popular seller sellers bestseller bestselling top rated new introduction introductions listing listed ship ships shipped packed
nonprofit coop cooperative extension society sales plantsale sku code item line lines row bed house bay
zip tray trays cell cells deepcell plug plugs landplug band bands sleeve sleeves tubeling tubelings treepot treepots conetainer conetainers conetainer rootmaker ellepot ellepots
"""
GRAMMAR = """
a about above across added adding adds again against ago along alongside already also although among amongst another any around away based because become becomes been before behind being below beneath beside besides
between beyond both but call called calls can choose come comes could deer did do does doing done during each either else enough especially even ever every everywhere except for found from further gets give gives given gives go goes
got had has have having he her here high higher his how however if inside instead into its itself keep keeps kind known large least leave less let lets like likes likely liked literally made main mainly make makes making may maybe might
more much name named near nearly need needed needing needs neither never nor not nothing now of off often on once or other others otherwise our out outside over own particularly per place placed plant planted planting plants
please prefer preferred preferring prefers put range ranges ranging rather reach reaches reaching require requires required same says see seen several shown shows since so some something sometimes somewhat start still such take takes than thanks
that the their them then there therefore these they thing things this those though till times to together too toward towards turn turning turns type types typical typically under underneath until unless up upon usually various very
via want was we were what when where wherever whether which while who whose why will within without won work works would you your yours find finds want wants help helps helping let offer offers offering produce produces producing look looking looks looked
love grows show send sends bear bears bearing display displays displaying add allow allows avoid can fill fills filling combine combines pair pairs paired combined set sets situation situations spot spots area zone zones usda
hardiness feet inch month foot dozen half two three four five six seven eight nine ten twelve twenty fifty hundred second third aka syn formerly previously pure
non nontoxic toxic poisonous poison edible medicinal caution warning permit safe safely children pets cattle horses livestock
people person customers customer everyone everybody kids friend friends friendly family families
"""
# What visits, eats or shares a pond, and what else stands round it: things of which lines speak that are not sold.
ROUND_ABOUT = """
animal animals ant ants aphids bat bats bear bears beaver beavers beetle beetles blackbird blackbirds bobwhite bug bugs bullfrog bullfrogs
cardinal cardinals catfish chickadees chicken chickens cow cows crane cranes cricket crickets crustaceans damselflies doves
elk flies fly fowl goats gnats grebes grosbeaks grouse herbivores hornet hornets horse juncos kingfishers ladybugs lizards mantis microbes
mice mosquito mosquitoes moose mule orioles osprey otter otters owls people pests pig predators raccoon raccoons rails robin robins rodents sandpipers
sheep shorebirds slugs snails snakes snipe sparrow spiders squirrel squirrels swan swans toad toads vireos vole voles wasp wasps waxwing waxwings
woodcock woodpeckers wrens worms zooplankton algae alga bacteria carbon nitrogen phosphorus oxygen oxygenation toxins metals
runoff sediment sediments silt turf turfgrass wave waves wind winds ice snow storm storms heat humidity mildew rust disease diseases fungus
arbor barrel barrels boardwalk boulder boulders bridge bridges deck decks dock docks driveway fence fences fountain gazebo house houses patio patios path paths
pier piers porch wall walls walkway weir walk terrace steps statue parking lot lots street streets golf course courses park parks school schools church farm farms ranch
turbid clear stained murky clarity cloudy chlorine chlorinated softened
"""
# What sellers say of their stock, their shop and what to do on arrival.
SHOP_TALK = """
aged assured attached authentic biodegradable bloomsize boxed brand break broken carton cartons certificate certificates chart check checked
clean cleaned clipped collector collectors companion companions conservation crate cultivated description disease diseases ecological ecologically
enclosed experts exclusive fee fertilize fertilizer fertilized fragments fungicide gently germinate germination gift gifts grading guide
handled handpicked blunt sturdily lovingly shovel spade trowel hitchhiker hitchhikers hobby hydroponic identification image images includes individually instruction instructions insured invoice
labels lifetime mosaic moved newspaper nontreated nurserymen online orderly packet paper parcel peatfree photos plastic policy postage practice practices prepared
preserve prune pruned pruning quarantined recycled refund refundable registered replacement reliably representative roots rotted satisfaction secure securely shade shipped
sized snails sphagnum sponsor sprouted sprouts staff stratified stratify stratification strays substitute supplier tested tests thinned tissue culture cultured towel towels transplanted transport traveling trimmed
trusted uniform verified viable volunteers warehouse washed weedfree weekly wholesale wholesaler winterized wrapped workers zone caliper whip whips burlap balled liners instructions genotype genotypes population populations source
conifer hardwood hardwoods companionable neighbors neighbor design designers designs garden gardener gardeners gardening landscapers homeowner homeowners hunter hunters farmers rancher ranchers angler anglers fishermen
"""
BLOCKS = (
    COLOUR,
    SIZE,
    LIGHT,
    PLACE,
    SEASON,
    USE,
    HABIT,
    PARTS,
    PRAISE,
    TRADE,
    GRAMMAR,
    ROUND_ABOUT,
    SHOP_TALK,
)

# Words that join a second thing to what stands before them, in the languages that sellers write in.
CONNECTIVES = "and or with plus y und et con mit avec w incl including includes"
# Epithets that are also places or words of the trade: behind a Latin genus in small letters they are epithets.
EPITHETS_TOO = """
alba carolina columbia floribunda florida major maxima maximum media minima minimum minor montana nevada regia
simplex trio vera virginia alpina
"""
# Epithets of garden forms: a third one behind a species' name says that it is not the plain species.
FORM_EPITHETS = """
alba albus album albiflora aurea aureum aureus coerulea caerulea compacta flore pleno gigantea gracilis grandiflora hybrida
lutea maxima minima minor nana nanum nanus pendula plena pumila purpurea rosea roseum roseus rubra rubrum ruber variegata
variegatum variegatus
"""
# Words that say: what follows is another name of the same plant.
SAME_PLANT = "syn synonym synonyms formerly previously aka old now known called alias equals"
# Verbs by which a line says something of its plant, so that what follows is no second thing for sale.
SAYING = """
is are has have will can makes make grows grow thrives thrive prefers prefer attracts attract tolerates tolerate blooms
bloom likes like loves love needs need provides provide feeds feed does filters filter holds stays looks works hosts
supports support spreads reseeds naturalizes gives adds keeps turns bears forms produces offers resists
"""
