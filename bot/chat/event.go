package chat

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"strings"
	"time"

	"github.com/bwmarrin/discordgo"

	"countwright/commands"
)

// Event makes the server's own scheduled event of a milestone, unless it is
// there, and returns its id.
func (s *Service) Event(ctx context.Context, server string, card commands.EventCard) (string, error) {
	address := discordgo.EndpointGuildScheduledEvents(server)
	answer, err := s.queued(ctx, http.MethodGet, address, nil, nil)
	if err != nil {
		return "", became(err, false)
	}
	var events []struct {
		ID          string `json:"id"`
		Description string `json:"description"`
	}
	if err := json.Unmarshal(answer, &events); err != nil {
		return "", &Later{After: time.Minute, Err: errors.New("the service's answer can't be read")}
	}
	for _, e := range events {
		if strings.HasSuffix(e.Description, card.Mark) {
			return e.ID, nil
		}
	}
	answer, err = s.queued(ctx, http.MethodPost, address, eventOf(card), nil)
	if err != nil {
		return "", became(err, true)
	}
	return idOf(answer)
}

// event is a scheduled event as the service takes it.
type event struct {
	Name        string        `json:"name"`
	Description string        `json:"description"`
	Start       string        `json:"scheduled_start_time"`
	End         string        `json:"scheduled_end_time"`
	Privacy     int           `json:"privacy_level"` // 2: the server's members
	Kind        int           `json:"entity_type"`   // 3: in no voice channel
	Where       eventLocation `json:"entity_metadata"`
}

type eventLocation struct {
	Location string `json:"location"`
}

func eventOf(c commands.EventCard) event {
	return event{Name: c.Name, Description: c.Description, Privacy: 2, Kind: 3, Where: eventLocation{c.Location},
		Start: c.Start.UTC().Format(time.RFC3339), End: c.End.UTC().Format(time.RFC3339)}
}
