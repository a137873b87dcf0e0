package tackle

import (
	"fmt"

	"windlane/internal/text"
	"windlane/quantity"
)

// Rules are what a federation or a fishery allows, as far as a set-up can be
// held against them. Zero means no rule. They change yearly: every finding from
// them carries their date and asks for the current text to be read.
type Rules struct {
	Name        string
	Dated       string // when this text held
	Source      string
	MaxFlies    int
	MinSpacing  float64 // between flies. [m]
	MaxLeader   float64 // [m]
	LeaderToRod float64 // longest leader as a multiple of the rod. [1]
	MaxRod      float64 // [m]
	MaxHook     float64 // overall length of a hook. [m]
	MaxFly      float64 // overall length of a fly. [m]
	NoWeighted  bool
	NoTandem    bool
	NoAnchor    bool
	NotLookedAt []string // rules that no set-up shows
}

const checkCurrent = "Rules change: check the current text."

// PublishedRules are the sporting rules found in print. No default: a bag names
// its own under [[rules]], or one of these by name.
func PublishedRules() []Rules {
	return []Rules{
		{
			Name: "International loch rules", Dated: "2017-05-17", Source: "International Fly Fishing Association, loch rules",
			MaxFlies: 4, MinSpacing: 0.508, MaxRod: 3.6576, MaxHook: 0.015875, MaxFly: 0.0238125,
			NoWeighted: true, NoTandem: true, NoAnchor: true,
			NotLookedAt: []string{"one rod only", "no shooting heads, metal core or added weight on lines and leaders", "drogues uniform, if the host says so"},
		},
		{
			Name: "World federation lake rules", Dated: "undated copy", Source: "FIPS-Mouche competition rules, articles 26 and 27, and from memory for flies and leader",
			MaxFlies: 3, MinSpacing: 0.5, LeaderToRod: 2, MaxRod: 3.66,
			NotLookedAt: []string{"spare rods unassembled in the boat", "factory-made lines of 22 m or more, no shooting heads or lead core", "nothing added to make a line sink or float"},
		},
	}
}

func readRules(r *text.Record) Rules {
	name := r.Text("name")
	if r.Yes("published") {
		for _, p := range PublishedRules() {
			if p.Name == name {
				return p
			}
		}
		r.Refuse("name", "is no published set of rules here: there are "+list(PublishedRules(), func(p Rules) string { return p.Name }))
	}
	return Rules{
		Name: name, Dated: r.Plain("dated"), Source: r.Text("source"),
		MaxFlies:   r.Whole("max_flies", 0, 1, 12),
		MinSpacing: r.Quantity("min_spacing", dropperHeight), MaxLeader: r.Quantity("max_leader", leaderLength),
		MaxRod: r.Quantity("max_rod", rodLength), MaxHook: r.Quantity("max_hook", flyLength), MaxFly: r.Quantity("max_fly", flyLength),
		LeaderToRod: r.Quantity("leader_to_rod", text.Range{Parse: text.Bare, Low: 0.5, High: 5}),
		NoWeighted:  r.Yes("no_weighted"), NoTandem: r.Yes("no_tandem"), NoAnchor: r.Yes("no_anchor"),
		NotLookedAt: r.Texts("also"),
	}
}

// Check holds a set-up against the rules; anchored says whether it is meant to
// be fished at anchor. One good finding when nothing is broken.
func (u Rules) Check(rig Rig, anchored bool, units quantity.System) []Finding {
	var out []Finding
	by := u.Name
	if u.Dated != "" {
		by += " (" + u.Dated + ")"
	}
	no := func(format string, args ...any) {
		out = append(out, Finding{No, AboutRules, fmt.Sprintf(format, args...) + ": " + by + ". " + checkCurrent})
	}
	if u.MaxFlies > 0 && len(rig.Flies) > u.MaxFlies {
		no("%d flies, allowed are %d", len(rig.Flies), u.MaxFlies)
	}
	for i := 1; i < len(rig.Flies); i++ {
		if gap := rig.Flies[i].FromPoint - rig.Flies[i-1].FromPoint; u.MinSpacing > 0 && gap < u.MinSpacing-0.0005 {
			no("%s and %s are %s apart, the least is %s", rig.Flies[i-1].Fly.Name, rig.Flies[i].Fly.Name, small(units, gap), small(units, u.MinSpacing))
		}
	}
	if u.MaxLeader > 0 && rig.Leader.Length > u.MaxLeader+0.0005 {
		no("a leader of %s, the longest is %s", units.Depth(rig.Leader.Length), units.Depth(u.MaxLeader))
	}
	if u.LeaderToRod > 0 && rig.Rod.Length > 0 && rig.Leader.Length > u.LeaderToRod*rig.Rod.Length+0.0005 {
		no("a leader of %s, the longest is %g times the rod", units.Depth(rig.Leader.Length), u.LeaderToRod)
	}
	if u.MaxRod > 0 && rig.Rod.Length > u.MaxRod+0.0005 {
		no("a rod of %s, the longest is %s", units.Depth(rig.Rod.Length), units.Depth(u.MaxRod))
	}
	for _, m := range rig.Flies {
		switch f := m.Fly; {
		case u.NoWeighted && f.Weighted:
			no("%s is weighted", f.Name)
		case u.NoTandem && f.Tandem:
			no("%s is a tandem", f.Name)
		case u.MaxHook > 0 && f.HookLength > u.MaxHook+0.00005:
			no("%s has a hook of %s, the longest is %s", f.Name, small(units, f.HookLength), small(units, u.MaxHook))
		case u.MaxFly > 0 && f.Length > u.MaxFly+0.00005:
			no("%s is %s long, the longest is %s", f.Name, small(units, f.Length), small(units, u.MaxFly))
		}
	}
	if u.NoAnchor && anchored {
		no("anchoring is not allowed")
	}
	if len(out) == 0 {
		out = append(out, Finding{Good, AboutRules, "within " + by + " as far as a set-up shows. " + checkCurrent})
	}
	return out
}

// small says a length of inches or millimetres.
func small(u quantity.System, m float64) string {
	if u == quantity.Metric {
		return fmt.Sprintf("%.0f mm", m*1000)
	}
	return fmt.Sprintf("%.3g in", m/0.0254)
}
