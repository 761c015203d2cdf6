package chat

import (
	"encoding/json"
	"log/slog"
	"net/http"
	"slices"
	"testing"
	"time"

	"github.com/bwmarrin/discordgo"

	"countwright/bot/chat/loopback"
	"countwright/commands"
)

// benchLine is a text reply with some arithmetic behind it.
const benchLine = "/gauge convert from:14x10 to:16x12 stitches:74 rows:60"

// BenchmarkReply compares a text reply, from the event to the taken answer,
// with what a bare bot of the library costs that says one word to the same
// event. "both" asks them in turn and reports the ratio of the medians, which
// a busy machine disturbs least.
func BenchmarkReply(b *testing.B) {
	set := commands.All(newCommunity(), nil)
	ask := example(b, set, benchLine)
	b.Run("ping", func(b *testing.B) {
		fake := pinging(b, set)
		b.ReportAllocs()
		for b.Loop() {
			fake.Ask(ask).Wait()
		}
	})
	b.Run("countwright", func(b *testing.B) {
		fake := replying(b, set)
		b.ReportAllocs()
		for b.Loop() {
			fake.Ask(ask).Wait()
		}
	})
	b.Run("both", func(b *testing.B) {
		ping, ours := pinging(b, set), replying(b, set)
		var pings, replies []time.Duration
		took := func(fake *loopback.Service) time.Duration {
			start := time.Now()
			fake.Ask(ask).Wait()
			return time.Since(start)
		}
		for b.Loop() {
			pings, replies = append(pings, took(ping)), append(replies, took(ours))
		}
		slices.Sort(pings)
		slices.Sort(replies)
		b.ReportMetric(float64(replies[len(replies)/2])/float64(pings[len(pings)/2]), "x-ping")
	})
}

// replying is Countwright on a service that checks nothing.
func replying(b *testing.B, set *commands.Set) *loopback.Service {
	fake, _ := serving(b, set, func(s *Service, f *loopback.Service) { s.log, f.Unchecked = slog.New(slog.DiscardHandler), true })
	return fake
}

// pinging is a bare bot with the same commands registered.
func pinging(b *testing.B, set *commands.Set) *loopback.Service {
	fake := loopback.Start(b)
	fake.Unchecked = true
	for _, c := range slashes(set, reach{byPermission: true}) {
		var same loopback.Command
		if body, err := json.Marshal(c); err != nil || json.Unmarshal(body, &same) != nil {
			b.Fatal("a command does not convert")
		}
		fake.Register("", same)
	}
	d, err := discordgo.New("Bot " + loopback.Token)
	if err != nil {
		b.Fatal(err)
	}
	d.StateEnabled, d.Identify.Intents = false, discordgo.IntentsGuilds
	d.Client = &http.Client{Transport: fake.Transport()}
	d.AddHandler(func(d *discordgo.Session, i *discordgo.InteractionCreate) {
		if err := d.InteractionRespond(i.Interaction, &discordgo.InteractionResponse{
			Type: discordgo.InteractionResponseChannelMessageWithSource, Data: &discordgo.InteractionResponseData{Content: "pong"}}); err != nil {
			b.Error(err)
		}
	})
	if err := d.Open(); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { d.Close() })
	fake.Online()
	return fake
}
