// Command windlane plans a day's boat fishing: where to drift, which line gets
// the flies to the fish, how long to count, and whether it is safe to go.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"

	"github.com/alecthomas/kong"
)

// Exit codes, documented in docs/commands.md.
const (
	exitFine   = 0
	exitInside = 1 // windlane itself failed, or the disk did
	exitInput  = 2 // something typed or brought cannot be used; nothing was written
)

// console is what a command may read and write.
type console struct {
	in       io.Reader
	out, err io.Writer
	watched  bool // a person looks at err now
}

// commands is the whole command line.
type commands struct {
	Day        dayCmd        `cmd:"" help:"Plan a day: where to drift, what to tie on, how long to count, what to mind."`
	Plan       planCmd       `cmd:"" help:"Plan a day's drifts alone, the evening before or again afloat: start, drogue, minutes, where to lift, what then."`
	Survey     surveyCmd     `cmd:"" help:"How well a lake is sounded and where it is thin; adds a day's sounder log to its survey."`
	Demo       demoCmd       `cmd:"" help:"Plan a day on the invented lake that comes with windlane."`
	Cast       castCmd       `cmd:"" help:"What the flies do in one cast: depth by the second, time by depth."`
	Reach      reachCmd      `cmd:"" help:"Which casts of a bag search a depth: line, count and retrieve, ranked."`
	Drift      driftCmd      `cmd:"" help:"How the boat drifts on a wind, with and without a drogue."`
	Boat       boatCmd       `cmd:"" help:"Learn how the boat drifts from its own track, for the bag."`
	Log        logCmd        `cmd:"" help:"Write into the diary: a spell, an offer, a drift, one a line; undo."`
	Diary      diaryCmd      `cmd:"" help:"Read the diary, bring it in and out, back it up."`
	Hour       hourCmd       `cmd:"" help:"Sun, light and waves for an hour at a place."`
	Engine     engineCmd     `cmd:"" help:"Answer JSON requests: one object a line in, one a line out (docs/engine.md)."`
	Completion completionCmd `cmd:"" help:"Print the completion script for a shell."`
	Version    versionCmd    `cmd:"" help:"Say which windlane this is."`
}

func main() {
	info, err := os.Stderr.Stat()
	c := &console{in: os.Stdin, out: os.Stdout, err: os.Stderr, watched: err == nil && info.Mode()&os.ModeCharDevice != 0}
	os.Exit(run(os.Args[1:], c))
}

// run is the program as a value, so that tests type what a person types.
func run(args []string, world *console) (code int) {
	out := &minded{Writer: world.out}
	c := &console{world.in, out, world.err, world.watched}
	defer func() {
		if r := recover(); r != nil {
			fmt.Fprintf(c.err, "windlane: failed inside: %v. Keep the files and what was typed: they are the bug report\n%s", r, debug.Stack())
			code = exitInside
		}
	}()
	code = command(args, c)
	if out.fault != nil && code != exitInside {
		fmt.Fprintf(c.err, "windlane: cannot write the answer: %v\n", out.fault)
		return exitInside
	}
	return code
}

func command(args []string, c *console) (code int) {
	var all commands
	help := false
	parser, err := kong.New(&all, usual,
		kong.Name("windlane"),
		kong.Description("Plans a day's fly fishing from a drifting boat: the lake, the wind, the line in the water, and what to try next.\n\nLengths, speeds and weights may be typed with their unit: 15 ft, 4.5 m, 3 in/s, 9 mph, 10 lb. A number without one is metres, metres a second, kilograms, seconds or degrees."),
		kong.Writers(c.out, c.err),
		kong.Exit(func(int) { help = true }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, NoExpandSubcommands: true}),
		kong.UsageOnError(),
	)
	if err != nil {
		panic("windlane: the command line: " + err.Error())
	}
	ctx, err := parser.Parse(args)
	if help {
		return exitFine
	}
	if err != nil {
		fmt.Fprintf(c.err, "windlane: %s\nTry: windlane %s--help\n", plainly.Replace(err.Error()), asked(parser.Model, args))
		return exitInput
	}
	err = ctx.Run(c)
	var inside *insideError
	switch {
	case err == nil:
		return exitFine
	case errors.As(err, &inside):
		fmt.Fprintf(c.err, "windlane: %v\n", err)
		return exitInside
	default:
		fmt.Fprintf(c.err, "windlane: %v\n", err)
		return exitInput
	}
}

// plainly puts the parser's words in ours.
var plainly = strings.NewReplacer(`one of "",`, "one of ", `expected value value but got "EOL" (<EOL>)`, "its value is missing")

// asked is the command that was typed, if there is one of that name.
func asked(app *kong.Application, args []string) string {
	for _, cmd := range app.Children {
		if len(args) > 0 && args[0] == cmd.Name {
			return cmd.Name + " "
		}
	}
	return ""
}

// insideError is a failure that is not the person's: a full disk, a fault of ours.
type insideError struct{ err error }

func (e *insideError) Error() string { return e.err.Error() }
func (e *insideError) Unwrap() error { return e.err }
