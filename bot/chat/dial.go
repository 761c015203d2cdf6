package chat

import (
	"bufio"
	"context"
	"crypto/tls"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/gorilla/websocket"
)

// The library dials the address that it asked for, and speaks TLS itself. It
// is told the address that we want, and that it is a plain one: TLS is ours,
// so that a wire can read along above it.

// plainly is an address of the gateway as the library is told it.
func plainly(gateway string) (string, error) {
	u, err := url.Parse(gateway)
	if err != nil || u.Hostname() == "" || u.Scheme != "wss" && u.Scheme != "ws" {
		return "", fmt.Errorf("the gateway's address %q can't be read", gateway)
	}
	if u.Scheme == "wss" {
		u.Scheme = "ws"
		if u.Port() == "" {
			u.Host = net.JoinHostPort(u.Hostname(), "443")
		}
	}
	return u.String(), nil
}

// guide answers the library's question for the gateway; all else goes on.
type guide struct {
	next    http.RoundTripper
	gateway string // the question's address
	answer  func() string
}

// RoundTrip answers or passes on.
func (g *guide) RoundTrip(r *http.Request) (*http.Response, error) {
	if r.URL.String() != g.gateway {
		return g.next.RoundTrip(r)
	}
	return &http.Response{
		StatusCode: http.StatusOK, Status: "200 OK", Header: http.Header{}, Request: r,
		Body: io.NopCloser(strings.NewReader(fmt.Sprintf(`{"url":%q}`, g.answer()))),
	}, nil
}

// unreachable is a dialer whose failure makes the library forget an address.
var unreachable = &websocket.Dialer{NetDialContext: func(context.Context, string, string) (net.Conn, error) {
	return nil, errors.New("forget this address")
}}

// dialer makes a dialer for one attempt to connect, and where its wire comes
// out.
func (h *shard) dialer(secure bool) (*websocket.Dialer, <-chan *wire) {
	made := make(chan *wire, 1)
	timing := h.service.timing
	return &websocket.Dialer{
		HandshakeTimeout: timing.open / 2,
		NetDialContext: func(ctx context.Context, _, address string) (net.Conn, error) {
			c, err := h.service.dial(ctx, address, secure)
			if err != nil {
				return nil, err
			}
			h.beat.fresh()
			w := newWire(c, min(timing.silence, timing.open*2/3), &h.beat)
			made <- w
			return w, nil
		},
	}, made
}

// dial connects to an address, through a proxy where the environment names
// one.
func (s *Service) dial(ctx context.Context, address string, secure bool) (net.Conn, error) {
	asked := &url.URL{Scheme: "http", Host: address}
	if secure {
		asked.Scheme = "https"
	}
	proxy, err := http.ProxyFromEnvironment(&http.Request{URL: asked})
	if err != nil {
		return nil, fmt.Errorf("read the environment's proxy: %w", err)
	}
	first := address
	if proxy != nil {
		if proxy.Scheme != "http" || proxy.Port() == "" {
			return nil, fmt.Errorf("the proxy %s://%s is not supported: name one as http://host:port", proxy.Scheme, proxy.Host)
		}
		first = proxy.Host
	}
	c, err := (&net.Dialer{Timeout: s.timing.open / 3}).DialContext(ctx, "tcp", first)
	if err != nil {
		return nil, err
	}
	if proxy != nil {
		if err := through(c, proxy, address, s.timing.open/3); err != nil {
			c.Close()
			return nil, err
		}
	}
	if !secure {
		return c, nil
	}
	return s.secure(ctx, c, address)
}

// secure speaks TLS with whoever answers for an address.
func (s *Service) secure(ctx context.Context, c net.Conn, address string) (net.Conn, error) {
	host, _, _ := net.SplitHostPort(address)
	t := tls.Client(c, &tls.Config{ServerName: host, MinVersion: tls.VersionTLS12, RootCAs: s.roots, NextProtos: []string{"http/1.1"}})
	if err := t.HandshakeContext(ctx); err != nil {
		c.Close()
		return nil, err
	}
	return t, nil
}

// through asks a proxy for a way to an address.
func through(c net.Conn, proxy *url.URL, address string, limit time.Duration) error {
	if err := c.SetDeadline(time.Now().Add(limit)); err != nil {
		return err
	}
	ask := &http.Request{Method: http.MethodConnect, URL: &url.URL{Opaque: address}, Host: address, Header: http.Header{}}
	if user := proxy.User; user != nil {
		password, _ := user.Password()
		ask.Header.Set("Proxy-Authorization", "Basic "+base64.StdEncoding.EncodeToString([]byte(user.Username()+":"+password)))
	}
	if err := ask.Write(c); err != nil {
		return fmt.Errorf("ask the proxy: %w", err)
	}
	// The far side speaks only after we do, so the reader takes nothing of it.
	resp, err := http.ReadResponse(bufio.NewReader(c), ask)
	if err != nil {
		return fmt.Errorf("ask the proxy: %w", err)
	}
	resp.Body.Close()
	if resp.StatusCode != http.StatusOK {
		return fmt.Errorf("the proxy answered %s", resp.Status)
	}
	return c.SetDeadline(time.Time{})
}
