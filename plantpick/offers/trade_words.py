"""Words of offers that name no plant: the trade's and the office's, places, goods, animals. Plain word lists; how
they are compared stands in nametext.py. Common practice, no source: collected for this program."""

from __future__ import annotations

# Words of the trade that name no plant by themselves. A line of nothing else is no offer of a plant.
PLAIN = """
a about above acre across add after all allow also always am among an and any are as ask assorted assortment
at available availability average away back balance bare based be because bed been before below best better
between big both bottom box branched bring bulk bundle bundled but buy by call can cannot cant carry case
catalog catalogue cell cells certificate change charge cheap check choose city class clearance click clump
cm code cold collection color colors colour colours come coming common comes company complete condition cont
contact container containers containerized coolers cost count county crown crowns cu cube cubes current
customer customers cut cutting cuttings daily date day days deal deep delivered delivery depth deposit
description discount discounts division divisions do does dormant dozen due each ea early easy email end
enough established estimate etc every everything excellent except expected extra fall farm fast fax feet fee
few field final find first flat flats float floats florida flower flowering flowers fob for free fresh
freshly freight friday from ft full gal gallon gallons garden gardens get good great grow growing grown
grower growers grows guarantee guaranteed half hand handling hardy has have healthy height her herbaceous
here high holiday hot hour hours ht how if immediate in inc inch inches included includes including info
information install instock invoice is it item items its january february march april june july august
september october november december just keep kind know large largest last late latin lb lbs leaf liner
liners list listed listing lists live load loc local location long lot lots low mail mailed make many
marginal marginals mature max may mid min minimum mix mixed mixes mixture monday month months more most much
multi must name names native natives need net new next nice no none noon not note notes notice now nursery
nurseries number obl facw fac facu upl of off offer offered offers on one ones only or order ordered orders
original other our out over oxygenator oxygenators oz pack package packaged packed packing packs page pallet
part partial parts payment peat pending per perennial perennials phone pick picked pickup piece pieces pint
plan plant plantable planted planter planting plants please plug plugs plus po point pond ponds pool pools
pot potted pots pound pounds pre preorder premium price priced prices pricing product products propagated pt
purchase qt qty quality quantities quantity quart quarts question questions quote rate ready receive ref
regular remaining requested required reserve reserved retail returns rhizome rhizomes root rooted roots row
sale sales same sat saturday sci scientific season seasonal second section see seed seeds seedling seedlings
sell sells selling set shade ship shipped shipper shipping ships shop short side size sized sizes sku small
smaller soil sold some sorry special species specify spread spring sprig sprigs standard start starter
starting starts state states status stem stems stock store strand strands strong sub substitute
substitutions such summer sun supply limited surplus swamp tall tax temp temporarily tax taxes term terms
than thank thanks that the their them there these they third this through thru thursday till time times to
total total tray trays tub tubs tube tuber tubers tubes tubelings tuesday turion turions two type under unit
units until up update updated upon us usa usda use used uses variety varieties very via visit volume wait
waitlist want warm was water waters way we website wed wednesday week weeks weekly wetland wetlands what
when where which while wholesale wide will winter with without word work year years yes yet you your zone
zones aquatic aquatics bog bogs edge shoreline shore stream lake emergent emergents submerged submersed
floating floater floaters oxygenating surface moist wet dry band banded rubber bunch bunches bags bag bale
cash credit card visa mastercard paypal venmo check checks subject prior confirm confirmation quotation attn
dear hi hello hey regards sincerely best cheers yours truly signed sir madam llc ltd co corp street road
avenue suite hwy highway rd ave st blvd drive lane www com net org http https tel cell fax mobile open
closed hours genus family cultivar cultivars hybrid hybrids botanical synonym synonyms formerly known aka
old nomenclature true sterile named deciduous evergreen annual annuals biennial spikes blooms bloom blooming
bloomer foliage fragrant spreader spreading invasive noninvasive mother root rootball ball burlap bnb bb br
gl rc dp cell deepot dp plugtray landscape quartz trade one half weeds weed heavy light approx approximately
around min max avg pkg pkt pc pcs doz pr hundred thousand thousands hundreds pls wt weight net gross grasses
sedges rushes ferns shrubs trees vines wildflowers forbs herbs bulbs moss mosses groundcover groundcovers
bare selection sampler package kit restoration mitigation grade stocked backordered backorder hold holding
left until gone while supplies subtotal business submerse last mail local pick up only pickup deliveries
pallets truck trucks liftgate minimums handling fuel surcharge insurance
accept accepted account accounts actual additional advance agent agreement anytime approval approved
arrange arrival arrive article assembled assume based become begin billed billing business buyer buyers
calendar cancel cancellation caution claim claims commercial competitive consult consultation contract
convenience course crew crews current damage damaged dealer dealers deduct destination detail details
direct door dropped equal equipment estimates expect experience extension fedex figure fill final
follow following forward further ground guaranty heading identification individual inquire inquiry
inspection inspected install installation installed interested item labor labour landing landscaper
landscapers landscaping later least limit loading location lower manager market material materials
meet meeting mile miles monthly national nearest nontaxable normal office owner owners parcel pages
permit permitted permits please policy postage prepaid prepay prices private project projects proper
provide provided public quotes range rates reach reason receipt received recommended refund refunds
related rental replace replacement request requests requirement requirements resale reseller response
respond restocking return route safe salesman schedule scheduled section selected seller senders separate
service services several shipment shipments signature site sites someone sorted specification specs
spoken staff submit substitution suggested suitable supplier system task technical telephone
therefore today tomorrow trucking unless unloading upcoming ups usps usually valid value vendor
verify void wait warranty whole within yard yards yesterday
mon tue tues wed thu thur thurs fri sat jan feb mar apr aug sept sep oct nov dec
meadow prairie woodland forest upland amount amounts major cancelled canceled cancel contd preferred prefer
repair repairs family since recommend recommended quantity morning afternoon evening recently allow
department agriculture typographical errors error responsible association member members landscape shelf
noted quarantine interstate bucket cooler coolers workshop management driver text crazy sorry reply slow weather permitting
digging responsible holds unload hr hrs abundant take takes route burlap square squares forklift onto restock
"""
PLACES = """
alabama arkansas arizona california colorado connecticut delaware florida georgia iowa idaho illinois
indiana kansas kentucky louisiana massachusetts maryland maine michigan minnesota missouri mississippi
montana carolina dakota nebraska hampshire jersey mexico nevada york ohio oklahoma oregon pennsylvania rhode
tennessee texas utah virginia vermont washington wisconsin wyoming chicago north south east west hawaii
alaska canada puerto rico
"""
HARDWARE = """
pump pumps epdm pvc hdpe underlayment filter filters filtration skimmer hose tubing netting fountain fountains
aerator aerators aeration diffuser diffusers compressor fertilizer fertiliser tablets tablet tabs pellets
algaecide herbicide dye lamp uv clarifier heater thermometer thermostat scissors tongs gloves gravel rocks
stakes stake anchors tape valve fitting fittings adapter bracket basket baskets book books guidebook decoy
sculpture statue spigot waders shovel spade trowel dibble auger fence fencing mesh tarp erosion blanket
blankets coir logs log geotextile straw mulch compost medium media topsoil bench food feeder treatment
bacteria dechlorinator conditioner label labels tag tags gift certificate cages cage weights ring rings raft
rafts island islands
sulfate sulphate crystals glyphosate triclopyr imazapyr diquat fluridone endothall surfactant cutter
cutters rake rakes remover plastic cloth windmill bubbler airline nozzle manifold timer spillway
dredge paddle kayak bridge bench pamphlet poster handbook catalogue
twine cable zip ties hooks vinyl rubber boot boots wader shirt shirts mug apron
knife pruner pruners shears loppers hoe bucket buckets pail barrel barrels drum drums tank tanks
vase kits test tests tester meter probe secchi strips chemical chemicals gypsum alum aluminum
phosphate nitrate potassium nitrogen sulfur diatomaceous bentonite perlite vermiculite zeolite charcoal
limestone cobble boulder boulders flagstone brick bricks concrete cement epoxy sealant sealer paint foam
silicone glue adhesive staple staples matting coconut fiber fabric wattle wattles riprap culvert
elbow coupling clamp clamps gauge motor blower impeller battery charger solar panel panels
transformer led lights table sign signs sticker magnet postcards magazine brochure dvd video
software spitter birdbath birdhouse lure lures reel boat canoe oar buoy bale bales roll
rolls trimmer mower trailer tiller sprayer spreader drill pallet
agricultural oxidizer
"""
ANIMALS = """
fish koi goldfish goldfishes bluegill bream sunfish redear bass minnow minnows shiner shiners gambusia
mosquitofish guppy guppies platy catfish perch crappie carp snail snails trapdoor ramshorn tadpole tadpoles
frog frogs turtle turtles crayfish shrimp clam clams mussel mussels pleco shubunkin shubunkins comet comets
orfe fingerling fingerlings fathead daphnia scuds newt newts salamander
trout crawfish crawdad crawdads walleye tilapia chub chubs dace
stickleback killifish swordtail loach pumpkinseed leech leeches mealworms tench sturgeon
shad threadfin shellcracker shellcrackers fry fingerlings broodstock lobster worm worms
"""
