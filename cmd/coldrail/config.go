package main

import (
	"fmt"
	"log/slog"
	"net"
	"net/netip"
	"net/url"
	"path/filepath"
	"strings"
)

// Config is everything the environment can set. Each has a default that works
// on one machine.
type Config struct {
	Addr         string   // where the site listens
	Data         string   // where the program's own database keeps its files
	DatabaseURL  string   // a Postgres of the shop's own; empty: the embedded one
	PublicURL    string   // how a hunter's phone reaches the site; printed as QR on the receipt
	TLSAddr      string   // where tablets reach the site over HTTPS; empty: nowhere
	Names        []string // the machine's names, beside its addresses
	CertFile     string   // the shop's own certificate and key; empty: ours
	KeyFile      string
	MailPassword string // of the mail server that alarms and messages go out by

	GatewaySecret string // shown to the gateway that texts or calls

	Proxies []netip.Prefix // in front of the site, believed when they say who asks

	MetricsAddr string     // where Prometheus asks, on this machine alone; empty: nowhere
	LogLevel    slog.Level // of the program's log on standard error
}

type setting struct{ name, means, def string }

// settings is the list that --help prints and readConfig reads.
var settings = []setting{
	{"COLDRAIL_ADDR", "address and port to listen on", "127.0.0.1:8080"},
	{"COLDRAIL_DATA", "directory of the embedded database", "data"},
	{"DATABASE_URL", "a Postgres to use in its place; its user owns the tables", "none"},
	{"COLDRAIL_PUBLIC_URL", "address of the site as a hunter reaches it", "http:// and COLDRAIL_ADDR"},
	{"COLDRAIL_TLS_ADDR", "address and port for tablets, over HTTPS", "none"},
	{"COLDRAIL_NAMES", "names of this machine in the shop's network, with commas", "none"},
	{"COLDRAIL_CERT", "the shop's own certificate, a PEM file", "made by the program"},
	{"COLDRAIL_KEY", "its key, a PEM file", "made by the program"},
	{"COLDRAIL_MAIL_PASSWORD", "password of the mail server named in the office", "none"},
	{"COLDRAIL_GATEWAY_SECRET", "secret shown to the gateway named in the office", "none"},
	{"COLDRAIL_PROXY", "addresses of the proxies in front, with commas: their X-Forwarded-For is believed", "none"},
	{"COLDRAIL_METRICS_ADDR", "address and port of this machine where Prometheus reads", "none"},
	{"COLDRAIL_LOG", "debug, info, warn or error", "info"},
}

// readConfig reads the environment and reports all that is wrong at once.
func readConfig(env func(string) string) (Config, error) {
	get := func(name, def string) string {
		if v := strings.TrimSpace(env(name)); v != "" {
			return v
		}
		return def
	}
	c := Config{Addr: get("COLDRAIL_ADDR", "127.0.0.1:8080"), Data: get("COLDRAIL_DATA", "data"), DatabaseURL: get("DATABASE_URL", "")}
	c.PublicURL = strings.TrimSuffix(get("COLDRAIL_PUBLIC_URL", "http://"+c.Addr), "/")
	c.MailPassword = env("COLDRAIL_MAIL_PASSWORD") // as it is: a space may belong to it
	c.GatewaySecret = env("COLDRAIL_GATEWAY_SECRET")
	var wrong []string
	if _, _, err := net.SplitHostPort(c.Addr); err != nil {
		wrong = append(wrong, fmt.Sprintf("COLDRAIL_ADDR is %q, give address:port", c.Addr))
	}
	if u, err := url.Parse(c.PublicURL); err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" {
		wrong = append(wrong, fmt.Sprintf("COLDRAIL_PUBLIC_URL is %q, give http:// or https:// and a host", c.PublicURL))
	}
	if c.MetricsAddr = get("COLDRAIL_METRICS_ADDR", ""); c.MetricsAddr != "" && !ownAddress(c.MetricsAddr) {
		wrong = append(wrong, fmt.Sprintf("COLDRAIL_METRICS_ADDR is %q, give one of this machine alone, such as 127.0.0.1:9090", c.MetricsAddr))
	}
	wrong = append(wrong, c.readTLS(get)...)
	wrong = append(wrong, c.readProxies(get("COLDRAIL_PROXY", ""))...)
	if err := c.LogLevel.UnmarshalText([]byte(get("COLDRAIL_LOG", "info"))); err != nil {
		wrong = append(wrong, fmt.Sprintf("COLDRAIL_LOG is %q, give debug, info, warn or error", env("COLDRAIL_LOG")))
	}
	data, err := filepath.Abs(c.Data)
	if err != nil {
		wrong = append(wrong, "COLDRAIL_DATA: "+err.Error())
	}
	c.Data = data
	if len(wrong) > 0 {
		return c, usage("%s", strings.Join(wrong, "; "))
	}
	return c, nil
}

// Secure reports whether the site is reached over HTTPS, so that cookies may be
// kept to it.
func (c Config) Secure() bool { return strings.HasPrefix(c.PublicURL, "https://") }

// readProxies reads addresses and ranges of addresses.
func (c *Config) readProxies(list string) (wrong []string) {
	for text := range strings.SplitSeq(list, ",") {
		if text = strings.TrimSpace(text); text == "" {
			continue
		}
		prefix, err := netip.ParsePrefix(text)
		if addr, alone := netip.ParseAddr(text); alone == nil {
			prefix, err = netip.PrefixFrom(addr.Unmap(), addr.Unmap().BitLen()), nil
		}
		if err != nil {
			wrong = append(wrong, fmt.Sprintf("COLDRAIL_PROXY holds %q, give addresses such as 127.0.0.1 or 10.0.0.0/8, with commas", text))
			continue
		}
		c.Proxies = append(c.Proxies, prefix)
	}
	return wrong
}

// readTLS reads what HTTPS needs.
func (c *Config) readTLS(get func(name, def string) string) (wrong []string) {
	c.TLSAddr, c.CertFile, c.KeyFile = get("COLDRAIL_TLS_ADDR", ""), get("COLDRAIL_CERT", ""), get("COLDRAIL_KEY", "")
	for name := range strings.SplitSeq(get("COLDRAIL_NAMES", ""), ",") {
		if name = strings.TrimSpace(name); name != "" {
			c.Names = append(c.Names, name)
		}
	}
	if _, _, err := net.SplitHostPort(c.TLSAddr); c.TLSAddr != "" && err != nil {
		wrong = append(wrong, fmt.Sprintf("COLDRAIL_TLS_ADDR is %q, give address:port", c.TLSAddr))
	}
	if (c.CertFile == "") != (c.KeyFile == "") {
		wrong = append(wrong, "COLDRAIL_CERT and COLDRAIL_KEY go together, give both")
	}
	return wrong
}
