package demo

// The rest of the day, as a person would write it: dull and cool, buzzers coming
// off, a wind that backs from west to south and freshens until, in the
// afternoon, its gusts are too much for a small boat.

const dayTOML = `# A Saturday in April
date = 2027-04-24
from = "08:30"
until = "17:30"
utc_offset = "+00:00"

aim = "most"
units = "trade"

secchi = "2.6 m"
drawdown = "0.3 m"
gust_limit = "25 mph"
bright_days = 0

seen = ["midge_hatching", "birds_low"]

[[told]]
text = "three and a half a rod all week, most of them on buzzers"
trust = 0.7
rod_average = 3.5
cause = "midge"

[[told]]
text = "eight to eleven feet down along the drowned lane before lunch"
trust = 0.5
depth = ["8 ft", "11 ft"]
place = "the drowned lane"

[[told]]
text = "fresh ones in by the jetty on Wednesday"
trust = 0.9
stocked = 2027-04-21
place = "the jetty"
`

const forecastCSV = `# Osmerley Water, lake's own clock (UTC)
time,wind_mph,gust_mph,from,air_c,cloud_oktas,pressure_hpa,rain_mm,thunder
2027-04-24 06:00,4,9,262,5.5,7,1012,0,no
2027-04-24 07:00,5,10,260,6,8,1012,0,no
2027-04-24 08:00,6,11,256,6.5,8,1011,0,no
2027-04-24 09:00,7,12,250,7.5,8,1011,0,no
2027-04-24 10:00,8,14,245,8,8,1010,0,no
2027-04-24 11:00,9,15,238,8.5,7,1010,0,no
2027-04-24 12:00,10,17,230,9.5,7,1009,0,no
2027-04-24 13:00,12,20,222,10,8,1008,0,no
2027-04-24 14:00,14,23,214,10,8,1007,0.1,no
2027-04-24 15:00,15,26,206,10,8,1006,0.2,no
2027-04-24 16:00,17,29,199,9.5,8,1005,0.6,no
2027-04-24 17:00,18,31,193,9,8,1004,0.9,no
2027-04-24 18:00,18,31,188,8.5,8,1003,1.1,no
2027-04-24 19:00,17,29,184,8.5,8,1003,1.2,no
2027-04-24 20:00,16,27,180,8,8,1002,1.0,no
`

const tafText = `TAF XOSM 240500Z 2406/2420 26004KT 9999 BKN018 OVC035
BECMG 2408/2410 25007KT
BECMG 2411/2413 22010KT OVC014
BECMG 2414/2416 20014G25KT
TEMPO 2415/2420 6000 -RA BKN010
PROB30 TEMPO 2417/2420 19018G30KT 4000 RA=
`

const profileCSV = `# off the hump, on the morning
depth_m,temperature_c
0,9.1
1,9.0
2,9.0
3,8.8
4,8.7
6,8.3
8,7.9
10,7.6
13,7.3
17,7.1
`

const bagTOML = `# Four rods, three of them made up
[boat]
name = "hire boat"
length = "17 ft"
beam = "5.5 ft"
freeboard = "17 in"
draught = "7 in"
mass = "230 kg"
people = 2
motor = "petrol"
speed = "6 mph"
anchor = true

[[drogue]]
name = "big sheet"
shape = "square"
size = "5 ft"
measured = "fabric"

[[drogue]]
name = "cone"
shape = "round"
size = "3 ft"
measured = "mouth"

[[rod]]
name = "soft seven"
length = "10.5 ft"
class = 7
made_up = "buzzers on the washing line"

[[rod]]
name = "long seven"
length = "11 ft"
class = 7
made_up = "bung"

[[rod]]
name = "eight"
length = "10 ft"
class = 8
made_up = "deep lure"

[[rod]]
name = "spare seven"
length = "10 ft"
class = 7

[[line]]
name = "floater"
class = 7
profile = "floating"

[[line]]
name = "creeper"
class = 7
profile = "barely_sinking"
sink = "0.6 in/s"

[[line]]
name = "three"
class = 7
profile = "even"
sink = "3 in/s"
drop = {depth = "6 ft", time = "25 s", temperature = "9 C"}

[[line]]
name = "five"
class = 8
profile = "even"
sink = "5 in/s"
head = "36 ft"

[[line]]
name = "tip"
class = 7
profile = "sink_tip"
sink = "4 in/s"
sink_tip = "11 ft"

[[leader]]
name = "long three-fly"
material = "fluorocarbon"
strength = "8 lb"
length = "17 ft"
droppers = ["5 ft", "10 ft"]

[[leader]]
name = "lure"
material = "fluorocarbon"
strength = "10 lb"
length = "11 ft"
droppers = ["5 ft"]

[[leader]]
name = "under the bung"
material = "fluorocarbon"
diameter = "0.22 mm"
length = "14 ft"
droppers = ["4 ft", "9 ft"]

[[leader]]
name = "dry"
material = "copolymer"
strength = "5 lb"
length = "13 ft"
droppers = ["5 ft"]

[[fly]]
name = "black booby"
kind = "booby"
length = "22 mm"
rise = {depth = "1 ft", time = "2.4 s"}

[[fly]]
name = "olive buzzer"
kind = "buzzer"
drop = {depth = "1 ft", time = "2.6 s"}

[[fly]]
name = "red buzzer"
kind = "buzzer"

[[fly]]
name = "brown nymph"
kind = "nymph"

[[fly]]
name = "long black lure"
kind = "lure"
length = "45 mm"

[[fly]]
name = "small white lure"
kind = "lure"
length = "25 mm"

[[fly]]
name = "orange blob"
kind = "blob"

[[fly]]
name = "claret dry"
kind = "dry"

[[fly]]
name = "balloon sedge"
kind = "sedge"

[[fly]]
name = "foam bung"
kind = "bung"

[[rig]]
name = "buzzers on the washing line"
rod = "soft seven"
line = "creeper"
leader = "long three-fly"
way = "washing_line"
flies = ["black booby", "olive buzzer", "brown nymph"]

[[rig]]
name = "bung"
rod = "long seven"
line = "floater"
leader = "under the bung"
way = "bung"
flies = ["red buzzer", "olive buzzer", "foam bung"]

[[rig]]
name = "deep lure"
rod = "eight"
line = "five"
leader = "lure"
way = "lures"
flies = ["long black lure", "orange blob"]

[[rig]]
name = "middle lure"
rod = "spare seven"
line = "three"
leader = "lure"
way = "lures"
flies = ["small white lure", "orange blob"]

[[rig]]
name = "straight nymphs"
rod = "soft seven"
line = "floater"
leader = "long three-fly"
way = "nymphs"
flies = ["olive buzzer", "red buzzer", "brown nymph"]

[[rig]]
name = "sink tip nymphs"
rod = "spare seven"
line = "tip"
leader = "long three-fly"
way = "nymphs"
flies = ["olive buzzer", "brown nymph", "red buzzer"]

[[rig]]
name = "dries"
rod = "spare seven"
line = "floater"
leader = "dry"
way = "dries"
flies = ["claret dry", "balloon sedge"]
`
