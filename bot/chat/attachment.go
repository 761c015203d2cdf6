package chat

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"time"

	"github.com/bwmarrin/discordgo"

	"countwright/commands"
)

// mostFetched is the largest attachment that is fetched at all; a command's
// own limit is usually lower and is checked before fetching.
const mostFetched = 8 << 20

// A file of more than largeFile bytes takes one of so many places from when it
// is fetched until its answer is out, so that members who send many at once
// can't fill the memory.
const (
	largeFile   = 1 << 20
	mostHolding = 4
)

// attachmentHosts are the only places that attachments come from. The address
// is the service's word, but a request goes out on it, so it is checked.
var attachmentHosts = []string{"cdn.discordapp.com", "media.discordapp.net"}

// attachment makes a member's file readable by a command. Nothing is fetched
// until it is loaded, with a context that ends when the answer is out.
func (s *Service) attachment(file *discordgo.MessageAttachment) *commands.Attachment {
	return &commands.Attachment{
		Name: file.Filename, Size: int64(file.Size),
		Load: func(ctx context.Context) ([]byte, error) { return s.fetch(ctx, file.URL, int64(file.Size)) },
	}
}

func (s *Service) fetch(ctx context.Context, address string, size int64) ([]byte, error) {
	u, err := url.Parse(address)
	if err != nil || u.Scheme != "https" || u.User != nil || u.Port() != "" || !slices.Contains(attachmentHosts, u.Hostname()) {
		return nil, errors.New("fetch attachment: its address is not one of the service's")
	}
	if size > mostFetched {
		return nil, commands.Refused("That file has %d KB; I read files up to %d KB.", size>>10, mostFetched>>10)
	}
	if size > largeFile {
		select {
		case s.holding <- struct{}{}:
			context.AfterFunc(ctx, func() { <-s.holding })
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	ctx, cancel := context.WithTimeout(ctx, 20*time.Second)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return nil, errors.New("fetch attachment: its address can't be read")
	}
	resp, err := s.files.Do(req)
	if err != nil {
		var u *url.Error // holds the signed address: only its cause may be logged
		if errors.As(err, &u) {
			err = u.Err
		}
		return nil, fmt.Errorf("fetch attachment: %w", err)
	}
	defer resp.Body.Close()
	if resp.StatusCode != http.StatusOK {
		return nil, fmt.Errorf("fetch attachment: answered %s", resp.Status)
	}
	body, err := io.ReadAll(io.LimitReader(resp.Body, size+1))
	if err != nil {
		return nil, fmt.Errorf("fetch attachment: %w", err)
	}
	if int64(len(body)) != size {
		return nil, fmt.Errorf("fetch attachment: it should have %d bytes and does not", size)
	}
	return body, nil
}
