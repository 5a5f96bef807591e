package main

import (
	"io"
	"net/http"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
)

// Prometheus reads at an address of its own, which must be this machine's; the
// site itself has no such page, and no address of a page becomes a label.
func TestMeasures(t *testing.T) {
	t.Parallel()
	addr := freeAddress(t)
	p := startProgram(t, build(t), filepath.Join(t.TempDir(), "data"), "COLDRAIL_METRICS_ADDR="+addr)
	p.ready(t)
	for path, want := range map[string]int{"/s/secret-of-a-hunter": http.StatusNotFound, "/metrics": http.StatusNotFound, "/enrol": http.StatusOK} {
		if status, err := get(p.address + path); err != nil || status != want {
			t.Errorf("%s answers %d, %v; want %d", path, status, err, want)
		}
	}
	answer, err := http.Get("http://" + addr + "/metrics")
	must(t, err)
	text, err := io.ReadAll(answer.Body)
	must(t, err)
	must(t, answer.Body.Close())
	for _, want := range []string{`coldrail_request_seconds_count{method="GET",route="/s/{token}",status="404"} 1`, `route="/enrol"`,
		"coldrail_db_connections_most", "coldrail_last_good_backup_timestamp_seconds 0", "coldrail_register_lines_whole 0", "go_goroutines"} {
		if !strings.Contains(string(text), want) {
			t.Errorf("what Prometheus reads lacks %s", want)
		}
	}
	if strings.Contains(string(text), "secret-of-a-hunter") {
		t.Error("Prometheus reads a hunter's link")
	}
	p.stop(t, syscall.SIGTERM)

	for _, wrong := range []string{"0.0.0.0:9090", ":9090", "192.168.1.5:9090", "9090"} {
		if _, err := readConfig(func(name string) string { return map[string]string{"COLDRAIL_METRICS_ADDR": wrong}[name] }); err == nil || !strings.Contains(err.Error(), "this machine alone") {
			t.Errorf("COLDRAIL_METRICS_ADDR=%s: %v", wrong, err)
		}
	}
}

// A page that fails shows a number, and the log has the same number beside what
// went wrong.
func TestReferenceNumber(t *testing.T) {
	t.Parallel()
	data := filepath.Join(t.TempDir(), "data")
	p := startProgram(t, build(t), data)
	p.ready(t)
	_, err := dbOf(t, data).Exec(t.Context(), `ALTER TABLE shop RENAME TO shop_away`)
	must(t, err)
	answer, err := http.Get(p.address + "/enrol")
	must(t, err)
	page, err := io.ReadAll(answer.Body)
	must(t, err)
	must(t, answer.Body.Close())
	p.stop(t, syscall.SIGTERM)
	ref := regexp.MustCompile(`"msg":"page failed".*"ref":"([^"]+)".*shop`).FindStringSubmatch(p.log.String())
	if answer.StatusCode != http.StatusInternalServerError || ref == nil || !strings.Contains(string(page), ref[1]) {
		t.Errorf("%d; the log says %v; the page %.900s", answer.StatusCode, ref, page)
	}
}
