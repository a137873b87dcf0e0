package main

import (
	"fmt"
	"io"
	"runtime/debug"
	"strings"

	"github.com/alecthomas/kong"
)

// completionCmd prints a script that completes commands and flags.
type completionCmd struct {
	Shell string `arg:"" enum:"bash,zsh,fish" help:"bash, zsh or fish."`
}

func (cmd completionCmd) Run(c *console, ctx *kong.Context) error {
	if cmd.Shell == "fish" {
		fish(c.out, ctx.Model)
		return nil
	}
	if cmd.Shell == "zsh" {
		fmt.Fprintln(c.out, "autoload -U +X bashcompinit && bashcompinit")
	}
	bash(c.out, ctx.Model)
	return nil
}

func bash(w io.Writer, app *kong.Application) {
	var names, cases, parents strings.Builder
	for _, cmd := range app.Children {
		fmt.Fprintf(&names, "%s ", cmd.Name)
		fmt.Fprintf(&cases, "    %s) words=\"%s\" ;;\n", cmd.Name, strings.Join(flags(cmd), " "))
		for _, sub := range cmd.Children {
			fmt.Fprintf(&cases, "    %s/%s) words=\"%s\" ;;\n", cmd.Name, sub.Name, strings.Join(flags(sub), " "))
		}
		if len(cmd.Children) > 0 {
			fmt.Fprintf(&parents, "    %s) [ \"$COMP_CWORD\" = 2 ] && COMPREPLY=($(compgen -W \"%s --help\" -- \"$cur\")) && return; at=$at/${COMP_WORDS[2]} ;;\n", cmd.Name, strings.Join(commandsOf(cmd), " "))
		}
	}
	fmt.Fprintf(w, `_windlane() {
  local cur=${COMP_WORDS[COMP_CWORD]} at=${COMP_WORDS[1]} words=
  if [ "$COMP_CWORD" = 1 ]; then
    COMPREPLY=($(compgen -W "%s--help" -- "$cur"))
    return
  fi
  case $at in
%s  esac
  case $at in
%s  esac
  case $cur in
    -*) COMPREPLY=($(compgen -W "$words" -- "$cur")) ;;
    *) COMPREPLY=($(compgen -f -- "$cur")) ;;
  esac
}
complete -o filenames -F _windlane windlane
`, names.String(), parents.String(), cases.String())
}

func fish(w io.Writer, app *kong.Application) {
	for _, cmd := range app.Children {
		fmt.Fprintf(w, "complete -c windlane -n __fish_use_subcommand -a %s -d '%s'\n", cmd.Name, quoted(cmd.Help))
		for _, sub := range cmd.Children {
			fmt.Fprintf(w, "complete -c windlane -n '__fish_seen_subcommand_from %s; and not __fish_seen_subcommand_from %s' -a %s -d '%s'\n", cmd.Name, strings.Join(commandsOf(cmd), " "), sub.Name, quoted(sub.Help))
			for _, f := range sub.Flags {
				fmt.Fprintf(w, "complete -c windlane -n '__fish_seen_subcommand_from %s; and __fish_seen_subcommand_from %s' -l %s -d '%s'\n", cmd.Name, sub.Name, f.Name, quoted(f.Help))
			}
		}
		for _, f := range cmd.Flags {
			fmt.Fprintf(w, "complete -c windlane -n '__fish_seen_subcommand_from %s' -l %s -d '%s'\n", cmd.Name, f.Name, quoted(f.Help))
		}
	}
}

// commandsOf is what may stand after a command that has commands of its own.
func commandsOf(cmd *kong.Node) []string {
	var names []string
	for _, sub := range cmd.Children {
		names = append(names, sub.Name)
	}
	return names
}

func flags(cmd *kong.Node) []string {
	names := []string{"--help"}
	for _, f := range cmd.Flags {
		names = append(names, "--"+f.Name)
	}
	return names
}

func quoted(s string) string { return strings.ReplaceAll(s, "'", `\'`) }

// versionCmd says which build this is.
type versionCmd struct{}

func (versionCmd) Run(c *console) error {
	version := "built here"
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				version = s.Value[:min(12, len(s.Value))]
			}
		}
		fmt.Fprintf(c.out, "windlane %s, %s\n", version, info.GoVersion)
		return nil
	}
	fmt.Fprintf(c.out, "windlane %s\n", version)
	return nil
}
