package wire

// Rig is what is tied on. Ranges that stand here keep a 0 from being taken for
// "not said"; the others are package cast's, which checks them under these names.
type Rig struct {
	Name      string  `json:"name,omitempty" len:"1,200"`
	Line      FlyLine `json:"line"`
	Leader    Leader  `json:"leader"`
	Flies     []Fly   `json:"flies"`
	Way       string  `json:"way"`
	RodLength float64 `json:"rod_length_m,omitempty" in:"[1.5,6]"`
}

// FlyLine is a line by its label, and by what its owner has measured.
type FlyLine struct {
	Class    int       `json:"class"`
	Profile  string    `json:"profile"`
	Sink     float64   `json:"sink_m_s,omitempty" in:"[0.001,0.4]"`
	SlowSink float64   `json:"slow_sink_m_s,omitempty" in:"[0.001,0.4]"`
	RatedAt  float64   `json:"rated_at_c,omitempty" in:"(0,40]"`
	Length   float64   `json:"length_m,omitempty" in:"[5,60]"`
	SinkTip  float64   `json:"sink_tip_m,omitempty" in:"[0.3,30]"`
	Head     float64   `json:"head_m,omitempty" in:"[0.3,60]"`
	Measured *Measured `json:"measured,omitempty"`
}

// Measured outranks a line's label.
type Measured struct {
	Diameter  float64 `json:"diameter_m,omitempty" in:"[0.0002,0.004]"`
	Linear    float64 `json:"linear_density_kg_m,omitempty" in:"[0.0003,0.01]"`
	DropDepth float64 `json:"drop_depth_m,omitempty" in:"[0.05,30]"`
	DropTime  float64 `json:"drop_time_s,omitempty" in:"[0.1,600]"`
	DropAt    float64 `json:"drop_at_c,omitempty" in:"(0,40]"`
}

// Leader needs a diameter or a strength.
type Leader struct {
	Material string  `json:"material"`
	Diameter float64 `json:"diameter_m,omitempty" in:"[0.00005,0.001]"`
	Strength float64 `json:"strength_n,omitempty" in:"[2,500]"`
	Length   float64 `json:"length_m"`
}

// Fly is a fly tied on, so far up the leader from the point.
type Fly struct {
	Name      string   `json:"name" len:"1,80"`
	Kind      string   `json:"kind"`
	FromPoint float64  `json:"from_point_m"`
	Sink      *float64 `json:"sink_m_s,omitempty"`
	Mass      float64  `json:"mass_kg,omitempty" in:"[1e-6,0.05]"`
	DragArea  float64  `json:"drag_area_m2,omitempty" in:"[1e-7,0.01]"`
	Weighted  bool     `json:"weighted,omitempty"`
}

// Retrieve is how line is taken in.
type Retrieve struct {
	Kind       string  `json:"kind"`
	Speed      float64 `json:"speed_m_s,omitempty" in:"(0,3]"`
	Strip      float64 `json:"strip_m,omitempty" in:"(0,2]"`
	StripSpeed float64 `json:"strip_speed_m_s,omitempty" in:"(0,5]"`
	For        float64 `json:"for_s,omitempty" in:"(0,600]"`
}

// HangStage is one part of the hang.
type HangStage struct {
	Height float64 `json:"height_m"`
	Over   float64 `json:"over_s"`
	Hold   float64 `json:"hold_s"`
}

// CastRequest asks what the flies do in one cast: of a rig, or of the rig of
// that name in a bag.
type CastRequest struct {
	Rig         *Rig        `json:"rig,omitempty"`
	Bag         *File       `json:"bag,omitempty"`
	RigName     string      `json:"rig_name,omitempty" len:"1,200"`
	LineOut     float64     `json:"line_out_m"`
	TipHeight   float64     `json:"tip_height_m"`
	Hang        []HangStage `json:"hang"`
	HangMark    float64     `json:"hang_mark_m"`
	Angle       float64     `json:"angle_deg"`
	BoatSpeed   float64     `json:"boat_speed_m_s"`
	Count       float64     `json:"count_s"`
	TakeIn      *bool       `json:"take_in_during_count,omitempty"`
	Retrieve    Retrieve    `json:"retrieve"`
	Temperature float64     `json:"temperature_c"`
	Bed         float64     `json:"bed_m,omitempty" in:"(0,200]"`
	Recast      float64     `json:"recast_s,omitempty" in:"[1,600]"`
	Moments     []float64   `json:"moments_s,omitempty" len:"0,200"`
	Units       string      `json:"units,omitempty" one:"trade|metric"`
}

// CastAnswer answers CastRequest; null where there is none.
type CastAnswer struct {
	Status      string    `json:"status"`
	Reason      string    `json:"reason"`
	Way         string    `json:"way"`
	Flies       []FlyPath `json:"flies"`
	Layer       float64   `json:"layer_m"`
	CountEnd    float64   `json:"count_end_s"`
	RetrieveEnd float64   `json:"retrieve_end_s"`
	HangEnd     float64   `json:"hang_end_s"`
	Cycle       float64   `json:"cycle_s"`
	Slack       float64   `json:"slack_m"`
	TakenIn     float64   `json:"taken_in_m"`
	Contact     *float64  `json:"contact_delay_s"`
	Rule        *Rule     `json:"rule"`
	Drawings    []Drawing `json:"drawings"`
	Remarks     []Remark  `json:"remarks"`
}

// FlyPath is what one fly does.
type FlyPath struct {
	Name         string      `json:"name"`
	FromPoint    float64     `json:"from_point_m"`
	Path         []PathPoint `json:"path"`
	CountEnd     float64     `json:"depth_at_count_end_m"`
	RetrieveEnd  float64     `json:"depth_at_retrieve_end_m"`
	HangEnd      float64     `json:"depth_at_hang_end_m"`
	Deepest      float64     `json:"deepest_m"`
	DeepestAt    float64     `json:"deepest_at_s"`
	DeepestPhase string      `json:"deepest_phase"`
	OnBed        *float64    `json:"on_bed_at_s"`
	Seconds      ByPhase     `json:"layer_seconds_s"`
	Searched     ByPhase     `json:"layer_searched_m"`
}

// PathPoint is a fly at a moment.
type PathPoint struct {
	T     float64 `json:"t_s"`
	Phase string  `json:"phase"`
	X     float64 `json:"x_from_tip_m"`
	Depth float64 `json:"depth_m"`
	Low   float64 `json:"depth_low_m"`
	High  float64 `json:"depth_high_m"`
	Speed float64 `json:"speed_m_s"`
}

// ByPhase holds a figure a layer of water, from the surface down, by phase.
type ByPhase struct {
	Count    []float64 `json:"count"`
	Retrieve []float64 `json:"retrieve"`
	Hang     []float64 `json:"hang"`
}

// Rule is the angler's rule, rating times seconds, beside what was computed.
type Rule struct {
	Depth   float64  `json:"depth_m"`
	Middle  float64  `json:"middle_m"`
	Point   float64  `json:"point_m"`
	Reasons []string `json:"reasons"`
}

// Drawing is the line at a moment, the rod tip first.
type Drawing struct {
	T     float64   `json:"t_s"`
	Phase string    `json:"phase"`
	X     []float64 `json:"x_from_tip_m"`
	Depth []float64 `json:"depth_m"`
}

// Remark is something to know, and what it is about.
type Remark struct {
	About string `json:"about"`
	Text  string `json:"text"`
}

// DepthBand is a range of depths.
type DepthBand struct {
	Top    float64 `json:"top_m"`
	Bottom float64 `json:"bottom_m"`
}

// ReachRequest asks which casts search most fresh water at a depth: of the rigs
// given, or of those of a bag.
type ReachRequest struct {
	Rigs        []Rig       `json:"rigs,omitempty" len:"1,100"`
	Bag         *File       `json:"bag,omitempty"`
	Way         string      `json:"way,omitempty"`
	Band        DepthBand   `json:"band"`
	LineOut     float64     `json:"line_out_m"`
	TipHeight   float64     `json:"tip_height_m"`
	Hang        []HangStage `json:"hang"`
	HangMark    float64     `json:"hang_mark_m"`
	Angle       float64     `json:"angle_deg"`
	BoatSpeed   float64     `json:"boat_speed_m_s"`
	TakeIn      *bool       `json:"take_in_during_count,omitempty"`
	Counts      []float64   `json:"counts_s,omitempty" len:"1,200"`
	Retrieves   []Retrieve  `json:"retrieves,omitempty" len:"1,50"`
	Temperature float64     `json:"temperature_c"`
	Bed         float64     `json:"bed_m,omitempty" in:"(0,200]"`
	Recast      float64     `json:"recast_s,omitempty" in:"[1,600]"`
	Best        int         `json:"best,omitempty" in:"[1,200]"`
	Units       string      `json:"units,omitempty" one:"trade|metric"`
}

// ReachAnswer answers ReachRequest; null where there is none.
type ReachAnswer struct {
	Status  string        `json:"status"`
	Reason  string        `json:"reason"`
	Options []ReachOption `json:"options"`
	ByRig   []ReachOption `json:"by_rig"`
	Nearest *ReachOption  `json:"nearest"`
	Missing *float64      `json:"missing_m"`
	Tried   int           `json:"tried"`
	Broken  int           `json:"broken"`
	Remarks []Remark      `json:"remarks"`
}

// ReachOption is one way to cast.
type ReachOption struct {
	Rig            int      `json:"rig"`
	RigName        string   `json:"rig_name"`
	Way            string   `json:"way"`
	Count          float64  `json:"count_s"`
	Retrieve       Retrieve `json:"retrieve"`
	Fresh          float64  `json:"fresh_m"`
	FreshPerHour   float64  `json:"fresh_per_hour_m"`
	Seconds        float64  `json:"at_depth_s"`
	SecondsPerHour float64  `json:"at_depth_per_hour_s"`
	Held           float64  `json:"held_s"`
	Cycle          float64  `json:"cycle_s"`
	Slack          float64  `json:"slack_m"`
	TakenIn        float64  `json:"taken_in_m"`
	Top            float64  `json:"retrieve_top_m"`
	Bottom         float64  `json:"retrieve_bottom_m"`
	Deepest        float64  `json:"deepest_m"`
	Confirmed      bool     `json:"confirmed"`
}
