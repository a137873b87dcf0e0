package line

// Sample is the line at one moment.
type Sample struct {
	T       float64 // since landing [s]
	Phase   Phase
	Force   float64   // pull on the rod tip [N]
	LineOut float64   // [m]
	Deepest float64   // depth of the deepest part of the line [m]
	Depth   []float64 // of each of Result.Names [m], positive down
	FromTip []float64 // downwind of the rod tip, of each of Result.Names [m]
}

// Touch is something that came to rest on the bed.
type Touch struct {
	Name string
	T    float64 // [s]
}

// Result is a whole cast.
type Result struct {
	Names   []string // the bodies in their order, then "junction" if there is one
	Samples []Sample // at 0, Setup.Sample, twice that and so on
	Ends    []Sample // at the exact ends of count, retrieve and hang, as many as were reached
	OnBed   []Touch  // in the order of Names
	Status  Status
	Steps   int

	Passes, NodePasses int // work done by the solver
}

// Names of the tracked places of a setup.
func (s Setup) Names() []string {
	var names []string
	for _, b := range s.Bodies {
		names = append(names, b.Name)
	}
	if len(s.Sections) > 1 {
		names = append(names, "junction")
	}
	return names
}

// Run runs a whole cast. The error is a *Fault that names the field; a cast that
// breaks off is not an error but a Status, with the samples so far.
//
// A sample at the end of a phase belongs to that phase and shows the state
// before the change.
func Run(setup Setup) (Result, error) {
	s, err := New(setup)
	if err != nil {
		return Result{}, err
	}
	r := Result{Names: setup.Names()}
	r.Samples = append(r.Samples, s.Sample(0))
	for k := 1; ; {
		if s.t >= s.phaseEnd {
			r.Ends = append(r.Ends, s.Sample(s.t))
		}
		if !s.Next() {
			break
		}
		for t := float64(k) * setup.Sample; t <= s.t+sameTime; t = float64(k) * setup.Sample {
			sample := s.Sample(min(t, s.t))
			sample.T = t
			r.Samples = append(r.Samples, sample)
			k++
		}
	}
	r.Status, r.Steps, r.Passes, r.NodePasses = s.status, s.Steps, s.Passes, s.NodePasses
	for i, name := range r.Names {
		if t, ok := s.OnBed(i); ok {
			r.OnBed = append(r.OnBed, Touch{name, t})
		}
	}
	return r, nil
}

// sameTime is how near a sample may lie after a step end and still be at it. [s]
const sameTime = 1e-9

// Sample is the line at a time of the last step.
func (s *Sim) Sample(t float64) Sample {
	out := Sample{T: t, Phase: s.phase, Force: s.TipForce(t), LineOut: s.lineOut(t), Deepest: s.Deepest(t)}
	for k := range s.track {
		x, d := s.Place(k, t)
		out.FromTip, out.Depth = append(out.FromTip, x), append(out.Depth, d)
	}
	return out
}
