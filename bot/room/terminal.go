package room

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"

	"github.com/peterh/liner"

	"countwright/commands"
)

// longestLine is the longest line that is read: a pasted pattern in a quoted
// value is one line.
const longestLine = 1 << 20

// Script answers piped lines one by one until they end. A quoted value may run
// over several lines, up to one that starts a new command.
func (r *Room) Script(ctx context.Context, in io.Reader) error {
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, longestLine)
	var open string
	for lines.Scan() {
		if err := ctx.Err(); err != nil {
			return err
		}
		line := lines.Text()
		if open != "" {
			if strings.HasPrefix(line, "/") || strings.HasPrefix(line, "@") {
				if done, err := r.Do(ctx, open); done || err != nil {
					return err
				}
				open = ""
			} else {
				line = open + "\n" + line
			}
		}
		if starts(line) && commands.Unfinished(line) && len(line) < longestLine {
			open = line
			continue
		}
		open = ""
		if done, err := r.Do(ctx, line); done || err != nil {
			return err
		}
	}
	if err := lines.Err(); err != nil {
		return fmt.Errorf("read lines: %w", err)
	}
	if open != "" {
		_, err := r.Do(ctx, open)
		return err
	}
	return nil
}

// starts says whether a line is a command's, perhaps another member's.
func starts(line string) bool {
	line = strings.TrimSpace(line)
	return strings.HasPrefix(line, "/") || strings.HasPrefix(line, "@")
}

// Prompt talks with a person at a terminal, with completion and history.
func (r *Room) Prompt(ctx context.Context, welcome string) error {
	terminal := liner.NewLiner()
	defer terminal.Close()
	terminal.SetCtrlCAborts(true)
	terminal.SetTabCompletionStyle(liner.TabPrints)
	terminal.SetWordCompleter(func(line string, at int) (head string, offers []string, tail string) {
		head, offers = r.Complete(ctx, line[:byteAt(line, at)])
		return head, offers, line[byteAt(line, at):]
	})
	fmt.Fprintln(r.Out, welcome)
	open := ""
	for ctx.Err() == nil {
		prompt := r.current().Name + "> "
		if open != "" {
			prompt = "…> "
		}
		line, err := terminal.Prompt(prompt)
		switch {
		case errors.Is(err, io.EOF), errors.Is(err, liner.ErrPromptAborted):
			fmt.Fprintln(r.Out)
			return nil
		case err != nil:
			return fmt.Errorf("read the terminal: %w", err)
		}
		if open != "" {
			line = open + "\n" + line
		}
		open = ""
		if starts(line) && commands.Unfinished(line) {
			open = line
			continue
		}
		if strings.TrimSpace(line) != "" {
			terminal.AppendHistory(strings.ReplaceAll(line, "\n", `\n`))
		}
		if done, err := r.Do(ctx, line); done || err != nil {
			return err
		}
	}
	return nil
}

// byteAt is the place in bytes of a place in characters.
func byteAt(line string, runes int) int {
	for at := range line {
		if runes == 0 {
			return at
		}
		runes--
	}
	return len(line)
}

// Complete offers what the last word of a line being typed could become: head
// is what stays in front of it.
func (r *Room) Complete(ctx context.Context, line string) (head string, offers []string) {
	who, rest := "", line
	member := r.current()
	if strings.HasPrefix(line, "@") {
		name, after, found := strings.Cut(line, " ")
		if !found {
			return line, nil
		}
		who, rest = name+" ", after
		member = commands.Member{ID: strings.ToLower(name[1:]), Name: name[1:]}
	}
	if strings.HasPrefix(rest, ":") {
		return "", with([]string{":clock ", ":away ", ":language ", ":help", ":quit"}, rest)
	}
	path, typed, found := r.path(rest)
	if !found {
		var names []string
		for _, p := range r.Set.Paths() {
			names = append(names, "/"+p+" ")
		}
		return who, with(names, rest)
	}
	call := commands.Call{Path: path, Member: member, Server: server, Channel: channel, Host: member.ID == Host.ID, Now: r.Clock.Now()}
	at := strings.LastIndexFunc(typed, unicode.IsSpace) + 1
	name, value, valued := strings.Cut(typed[at:], ":")
	head = who + rest[:len(rest)-len(typed)+at]
	if valued {
		return head, r.values(ctx, call, typed[:at], name, value)
	}
	return head, r.names(call.Path, typed[:at], name)
}

// path splits a line into a command's path and what follows it.
func (r *Room) path(line string) (path, rest string, found bool) {
	for _, p := range r.Set.Paths() {
		if after, ok := strings.CutPrefix(line, "/"+p+" "); ok && len(p) > len(path) {
			path, rest, found = p, after, true
		}
	}
	return path, rest, found
}

// names offers the options that are not given yet.
func (r *Room) names(path, before, typed string) []string {
	command, _ := r.Set.Lookup(path)
	var names []string
	for _, o := range command.Options {
		name := o.Spec().Name
		if !strings.Contains(" "+before, " "+name+":") {
			names = append(names, name+":")
		}
	}
	return with(names, typed)
}

func (r *Room) values(ctx context.Context, call commands.Call, before, name, typed string) []string {
	if _, inputs, err := commands.ParseLine("/"+call.Path+" "+before, r.Set); err == nil {
		call.Inputs = inputs
	}
	var lines []string
	for _, c := range r.Set.Complete(ctx, call, name, strings.TrimPrefix(typed, `"`)) {
		line := commands.Line("", map[string]commands.Input{name: {Text: c.Value}})
		lines = append(lines, strings.TrimPrefix(line, "/ ")+" ")
	}
	return lines
}

// with keeps the offers that start with what was typed.
func with(offers []string, typed string) []string {
	return slices.DeleteFunc(offers, func(o string) bool {
		return !strings.HasPrefix(strings.ToLower(o), strings.ToLower(typed))
	})
}
