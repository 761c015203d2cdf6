package chat

import (
	"encoding/json"

	"github.com/bwmarrin/discordgo"
)

// belongs passes on that the bot is in a server, or no more. A server that is
// only out of reach, as in an outage of the service's, is passed over.
func (s *Service) belongs(e *discordgo.Event) {
	if s.options.Belongs == nil {
		return
	}
	var server struct {
		ID          string `json:"id"`
		Unavailable bool   `json:"unavailable"`
	}
	if err := json.Unmarshal(e.RawData, &server); err != nil || server.ID == "" || server.Unavailable {
		return
	}
	s.noting.Lock() // thousands come when it connects; they must not crowd out those who ask
	defer s.noting.Unlock()
	s.options.Belongs(server.ID, e.Type == "GUILD_CREATE")
}
