package main

import (
	"io"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
)

// steps of a plan that progress is told of: the files, and those of windlane.Day.
const steps = 8

// progress shows where a plan is once it has taken a second, if a person looks
// at the error stream.
func (s shown) progress(c *console) (step func(string), done func()) {
	if s.Quiet || !c.watched {
		return nil, func() {}
	}
	p := &progress{out: c.err}
	timer := time.AfterFunc(time.Second, p.show)
	return p.step, func() {
		timer.Stop()
		p.done()
	}
}

// progress is how far a plan is. It counts from the first step on, seen or not.
type progress struct {
	out io.Writer

	mu    sync.Mutex // the timer shows it while the plan goes on
	begun int        // steps
	name  string     // of the last
	over  bool
	bar   *progressbar.ProgressBar // nil until it is shown
}

func (p *progress) step(name string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.begun, p.name = p.begun+1, name
	p.draw()
}

// show makes it seen from now on.
func (p *progress) show() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.over {
		return
	}
	p.bar = progressbar.NewOptions(steps, progressbar.OptionSetWriter(p.out), progressbar.OptionClearOnFinish(), progressbar.OptionSetWidth(20), progressbar.OptionSetPredictTime(false))
	p.draw()
}

func (p *progress) draw() {
	if p.bar != nil {
		p.bar.Set(max(0, p.begun-1)) // those that are done
		p.bar.Describe(p.name)
	}
}

// done wipes it off.
func (p *progress) done() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.over = true
	if p.bar != nil {
		p.bar.Finish()
	}
}
