package chat

import (
	"log/slog"
	"net/http"
	"testing"

	"github.com/bwmarrin/discordgo"

	"countwright/bot/chat/loopback"
	"countwright/commands"
)

// BenchmarkReply compares a text reply, from the event to the taken answer,
// with what a bare bot of the library costs that knows one word.
func BenchmarkReply(b *testing.B) {
	b.Run("ping", func(b *testing.B) {
		fake := loopback.Start(b)
		fake.Unchecked = true
		fake.Register("", loopback.Command{Type: 1, Name: "ping", Description: "Ping"})
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
		defer d.Close()
		fake.Online()
		measure(b, fake, loopback.Ask{Path: "ping"})
	})
	set := commands.All(newCommunity(), nil)
	for name, line := range map[string]string{"countwright": "/me show"} {
		b.Run(name, func(b *testing.B) {
			fake, _ := serving(b, set, func(s *Service, f *loopback.Service) { s.log, f.Unchecked = slog.New(slog.DiscardHandler), true })
			measure(b, fake, example(b, set, line))
		})
	}
}

func measure(b *testing.B, fake *loopback.Service, ask loopback.Ask) {
	fake.Ask(ask).Wait()
	b.ReportAllocs()
	for b.Loop() {
		fake.Ask(ask).Wait()
	}
}
