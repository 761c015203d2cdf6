package main

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"runtime"
	"strings"
	"time"

	"countwright/bot/chat"
	"countwright/commands"
	"countwright/store"
)

// examine is "bot check": everything that must be well before members can be
// served, asked once, with what to do where it is not. It changes nothing.
func examine(ctx context.Context, config Config, path string, transport http.RoundTripper, out io.Writer) int {
	x := &examination{out: out}
	x.settings(config, path)
	x.zones()
	running := x.database(ctx, config)
	if config.Token == "" {
		x.note("service", "no token is configured: the bot would open the practice room")
	} else {
		x.service(ctx, config, transport, running)
	}
	if x.wrong > 0 {
		fmt.Fprintf(out, "\n%d to mend.\n", x.wrong)
		return broken
	}
	fmt.Fprintln(out, "\nAll is well.")
	return ended
}

type examination struct {
	out   io.Writer
	wrong int
}

func (x *examination) line(mark, about, format string, args ...any) {
	text := strings.ReplaceAll(fmt.Sprintf(format, args...), "\n", " ")
	fmt.Fprintf(x.out, "%-4s  %-13s  %s\n", mark, about, text)
}

func (x *examination) good(about, format string, args ...any) { x.line("ok", about, format, args...) }
func (x *examination) note(about, format string, args ...any) { x.line("note", about, format, args...) }
func (x *examination) bad(about, format string, args ...any) {
	x.wrong++
	x.line("MEND", about, format, args...)
}

func (x *examination) settings(c Config, path string) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		x.note("configuration", "there is no %s; the defaults are used", path)
	case c.Token != "" && c.TokenFile == "" && info.Mode().Perm()&0o077 != 0 && runtime.GOOS != "windows":
		x.bad("configuration", "others may read %s, which may hold the token: chmod 600 %s", path, path)
	default:
		x.good("configuration", "%s fits", path)
	}
	switch {
	case c.Backup.Folder == "":
		x.note("backups", "none are made; name a backup.folder")
	default:
		made, err := store.Backups{Folder: c.Backup.Folder}.List()
		switch {
		case err != nil:
			x.bad("backups", "%v", err)
		case len(made) == 0:
			x.note("backups", "none in %s yet", c.Backup.Folder)
		case time.Since(made[0].At) > 2*overdue:
			x.bad("backups", "the newest in %s is of %s: is the bot running, and the disk full?", c.Backup.Folder, made[0].At.Format("2 January 2006"))
		default:
			x.good("backups", "%d in %s, the newest of %s UTC", len(made), c.Backup.Folder, made[0].At.UTC().Format("2 January 2006, 15:04"))
		}
	}
}

// zones asks for time zones of four continents and for a rule that changes.
func (x *examination) zones() {
	for _, name := range []string{"Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Asia/Kolkata", "Africa/Casablanca"} {
		if _, err := time.LoadLocation(name); err != nil {
			x.bad("time zones", "%s is not known: build with the time/tzdata package, as main.go does", name)
			return
		}
	}
	x.good("time zones", "known")
}

func (x *examination) database(ctx context.Context, c Config) []store.MakeAlong {
	f, err := store.Inspect(ctx, c.Database)
	switch {
	case err != nil:
		x.bad("database", "%v", err)
		return nil
	case f == nil:
		x.note("database", "there is no %s yet; the first start makes it", c.Database)
		return nil
	}
	if store.Networked(c.Database) {
		x.good("database", "%s answers", store.Place(c.Database))
	} else if info, err := os.Stat(c.Database); err == nil && info.Mode().Perm()&0o077 != 0 && runtime.GOOS != "windows" {
		x.bad("database", "others may read what members told: chmod 600 %s*", c.Database)
	}
	if f.Version < f.Newest {
		x.note("database", "sound; the next start brings it from schema %d to %d: make a backup first", f.Version, f.Newest)
		return nil
	}
	x.good("database", "sound, %d KB, schema %d, %d make-alongs running", f.Bytes>>10, f.Version, len(f.Running))
	return f.Running
}

// mostAhead is how wrong a clock may be: signatures are good for a minute, and
// answers are due within three seconds.
const mostAhead = 5 * time.Second

func (x *examination) service(ctx context.Context, c Config, transport http.RoundTripper, running []store.MakeAlong) {
	s, err := chat.New(chat.Options{Token: c.Token, Set: commands.All(commands.Services{}, nil), Transport: transport})
	if err != nil {
		x.bad("service", "%v", err)
		return
	}
	ctx, cancel := context.WithTimeout(ctx, 2*time.Minute)
	defer cancel()
	e, err := s.Examine(ctx)
	if err != nil {
		x.bad("service", "%v", err)
		return
	}
	x.good("service", "the token is that of %q, in %d servers", e.Name, len(e.Servers))
	switch {
	case e.OverHTTP && !c.HTTP.Interactions:
		x.bad("interactions", "the developer portal names an interactions endpoint, so nothing comes over the gateway: remove it there, or set http.interactions")
	case !e.OverHTTP && c.HTTP.Interactions:
		x.bad("interactions", "http.interactions is set, but the developer portal names no interactions endpoint: enter the public https address of /interactions there, with the bot running")
	default:
		x.good("interactions", "%s", map[bool]string{true: "over HTTP", false: "over the gateway"}[e.OverHTTP])
	}
	if e.Privileged {
		x.note("intents", "a privileged intent is switched on in the developer portal; none is needed, switch it off")
	} else {
		x.good("intents", "none that is privileged")
	}
	if e.Ahead.Abs() > mostAhead {
		x.bad("clock", "it differs from the service's by %s: set it by the network (NTP)", e.Ahead.Round(time.Second))
	} else {
		x.good("clock", "as the service's, to a second or two")
	}
	if c.Shards.Count > 0 && c.Shards.Count < e.Shards {
		x.bad("shards", "shards.count is %d, the service advises %d", c.Shards.Count, e.Shards)
	}
	if e.StartsLeft >= 0 && e.StartsLeft < 50 && !c.HTTP.Interactions {
		x.bad("connections", "only %d of today's are left; find out why it reconnects so often", e.StartsLeft)
	}
	x.servers(ctx, s, e, running)
}

func (x *examination) servers(ctx context.Context, s *chat.Service, e chat.Examination, running []store.MakeAlong) {
	byID := map[string]chat.Standing{}
	for _, server := range e.Servers {
		byID[server.ID] = server
		if len(server.Missing) > 0 {
			x.bad("permissions", "in the server %q (%s) the bot lacks %s", server.Name, server.ID, strings.Join(server.Missing, ", "))
		}
	}
	if x.wrong == 0 && len(e.Servers) > 0 {
		x.good("permissions", "all that are needed, in every server")
	}
	for _, m := range running {
		server, there := byID[m.Server]
		if !there {
			x.bad("make-alongs", "the bot is no longer in the server of %q (%s): nothing can be posted", m.Name, m.Server)
			continue
		}
		channel, err := s.Channel(ctx, e, server, m.Channel)
		switch {
		case err != nil:
			x.bad("make-alongs", "the channel of %q in %q: %v", m.Name, server.Name, err)
		case len(channel.Missing) > 0:
			x.bad("make-alongs", "in #%s of %q, where %q posts, the bot lacks %s", channel.Name, server.Name, m.Name, strings.Join(channel.Missing, ", "))
		default:
			x.good("make-alongs", "%q can post in #%s of %q", m.Name, channel.Name, server.Name)
		}
	}
}
