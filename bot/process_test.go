package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"fmt"
	"math/big"
	"net"
	"net/http"
	"net/http/httputil"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"countwright/bot/chat/loopback"
)

// authority signs for a few hosts.
func authority(tb testing.TB, hosts ...string) (certificate tls.Certificate, roots []byte) {
	tb.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		tb.Fatal(err)
	}
	template := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "test"}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		DNSNames: hosts, IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign | x509.KeyUsageDigitalSignature}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		tb.Fatal(err)
	}
	return tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key}, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der})
}

// detour is an HTTP proxy that answers for the service's hosts, with TLS, and
// leads to the stand-in.
func detour(tb testing.TB, fake *loopback.Service) (proxy string, roots []byte) {
	tb.Helper()
	certificate, roots := authority(tb, "discord.com", "gateway.discord.gg", "resume.discord.gg")
	to, err := url.Parse(fake.URL())
	if err != nil {
		tb.Fatal(err)
	}
	inner, err := tls.Listen("tcp", "127.0.0.1:0", &tls.Config{Certificates: []tls.Certificate{certificate}, MinVersion: tls.VersionTLS12})
	if err != nil {
		tb.Fatal(err)
	}
	behind := &http.Server{Handler: httputil.NewSingleHostReverseProxy(to)}
	go behind.Serve(inner)
	front := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodConnect {
			w.WriteHeader(http.StatusMethodNotAllowed)
			return
		}
		far, err := net.Dial("tcp", inner.Addr().String())
		if err != nil {
			w.WriteHeader(http.StatusBadGateway)
			return
		}
		near, _, err := http.NewResponseController(w).Hijack()
		if err != nil {
			return
		}
		fmt.Fprint(near, "HTTP/1.1 200 Connection established\r\n\r\n")
		join(near, far)
	})}
	outer, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		tb.Fatal(err)
	}
	go front.Serve(outer)
	tb.Cleanup(func() {
		front.Close()
		behind.Close()
	})
	return "http://" + outer.Addr().String(), roots
}

func join(a, b net.Conn) {
	copyAll := func(to, from net.Conn) {
		buffer := make([]byte, 32<<10)
		for {
			n, err := from.Read(buffer)
			if n > 0 {
				if _, err := to.Write(buffer[:n]); err != nil {
					break
				}
			}
			if err != nil {
				break
			}
		}
		to.Close()
		from.Close()
	}
	go copyAll(a, b)
	go copyAll(b, a)
}

// started starts the program itself, as a process, against a stand-in that it
// reaches through a proxy and by TLS.
func started(tb testing.TB, fake *loopback.Service, settings string) (*exec.Cmd, *safeBuffer) {
	tb.Helper()
	proxy, roots := detour(tb, fake)
	folder := tb.TempDir()
	program, err := os.Executable()
	if err != nil {
		tb.Fatal(err)
	}
	for name, text := range map[string]string{
		"roots.pem": string(roots), "token": loopback.Token,
		"config.toml": "token_file = \"" + filepath.Join(folder, "token") + "\"\n" + settings,
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			tb.Fatal(err)
		}
	}
	said := &safeBuffer{}
	c := &exec.Cmd{Path: program, Args: []string{"countwright", "-config", "config.toml"}, Dir: folder, Stdout: said, Stderr: said,
		Env: []string{"HTTPS_PROXY=" + proxy, "SSL_CERT_FILE=" + filepath.Join(folder, "roots.pem"), "SSL_CERT_DIR=" + folder, "HOME=" + folder, "PATH=" + os.Getenv("PATH")}}
	if err := c.Start(); err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if c.ProcessState == nil {
			c.Process.Kill()
			c.Wait()
		}
	})
	return c, said
}

// TestProcess runs the real program: by TLS and through a proxy, over a lost
// connection, and to its end by SIGTERM with answers owed.
func TestProcess(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes seconds")
	}
	fake := loopback.Start(t)
	fake.GatewayAt, fake.ResumeAt = "wss://gateway.discord.gg/ws", "wss://resume.discord.gg/ws/resume"
	c, said := started(t, fake, "[limits]\nmember = 0\nserver = 0\n[log]\nlevel = \"debug\"\n")
	defer func() {
		if t.Failed() {
			t.Log(said.String())
		}
	}()
	fake.Online()
	ask := func(n int) *loopback.Answer {
		return fake.Ask(loopback.Ask{Path: "even shape", Options: map[string]string{"stitches": fmt.Sprint(60 + n), "increase": "6"}})
	}
	ask(0).Wait()
	fake.Drop()
	fake.Offline()
	fake.Online()
	if n := fake.Count("resume address"); n != 1 {
		t.Errorf("it resumed at its address %d times", n)
	}
	var owed []*loopback.Answer
	for n := range 30 {
		owed = append(owed, ask(n))
	}
	if err := c.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	for _, a := range owed {
		if a.Shown().Content == "" {
			t.Error("an empty answer")
		}
	}
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	select {
	case err := <-ended:
		if err != nil {
			t.Errorf("it ended with %v", err)
		}
	case <-time.After(30 * time.Second):
		t.Fatal("it does not end")
	}
	if strings.Contains(said.String(), loopback.Token) || strings.Contains(said.String(), "interaction-token-") {
		t.Error("a token is in the log")
	}
}

// BenchmarkColdStart is from the start of the process, with a new database,
// until it is connected with its commands registered.
func BenchmarkColdStart(b *testing.B) {
	fake := loopback.Start(b)
	fake.GatewayAt, fake.ResumeAt = "wss://gateway.discord.gg/ws", "wss://resume.discord.gg/ws/resume"
	for b.Loop() {
		c, said := started(b, fake, "[log]\nlevel = \"warn\"\n")
		fake.Online()
		b.StopTimer()
		c.Process.Signal(syscall.SIGTERM)
		if err := c.Wait(); err != nil {
			b.Fatal(err, said.String())
		}
		fake.Offline()
		b.StartTimer()
	}
}

// TestProcessThatMayNotGoOn: its exit code tells what watches over it not to
// start it again.
func TestProcessThatMayNotGoOn(t *testing.T) {
	fake := loopback.Start(t)
	c, said := started(t, fake, "")
	fake.Online()
	fake.Close(4004)
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	select {
	case <-ended:
	case <-time.After(30 * time.Second):
		t.Fatal("it does not end")
	}
	if code := c.ProcessState.ExitCode(); code != misused || !strings.Contains(said.String(), "copy it again from the developer portal") {
		t.Errorf("code %d, says\n%s", code, said.String())
	}
}
