package main

import (
	"strings"
	"testing"
	"time"

	"coldrail/db/archive"
	"coldrail/db/dbtest"
)

// The line says how much of all is done, at most twice a second, and is gone in the end.
func TestProgressLine(t *testing.T) {
	var out strings.Builder
	now := time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
	p := &progress{out: &out, say: bytesSaid("Bringing the records back"), now: func() time.Time { return now }}
	p.tell(0, 4<<20)
	now = now.Add(100 * time.Millisecond)
	p.tell(1<<20, 4<<20)
	now = now.Add(time.Second)
	p.tell(2<<20, 4<<20)
	p.end()
	said := strings.Split(strings.Trim(out.String(), "\r"), "\r")
	if len(said) < 2 || strings.TrimSpace(said[1]) != "Bringing the records back: "+size(2<<20)+" of "+size(4<<20) || strings.Contains(out.String(), size(1<<20)+" of") || strings.TrimSpace(said[len(said)-1]) != "" {
		t.Errorf("%q", out.String())
	}
}

// A backup and an export tell how far they are while they work, a restore out of how much.
func TestLongWorkTells(t *testing.T) {
	shop := dbtest.OpenShop(t)
	path, at := t.TempDir()+"/copy", dbtest.AddressOf(t, shop.DB)
	told := map[string][]int64{}
	as := func(what string) archive.Tell {
		return func(done, all int64) { told[what] = []int64{done, all} }
	}
	s, err := archive.Write(archive.Telling(t.Context(), as("backup")), at, path, nil, dbtest.Noon)
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := archive.Export(archive.Telling(t.Context(), as("export")), at, t.TempDir()+"/all", dbtest.Noon); err != nil {
		t.Fatal(err)
	}
	if _, err := archive.Restore(archive.Telling(t.Context(), as("restore")), dbtest.Bare(t), path, s.Schema, nil...); err != nil {
		t.Fatal(err)
	}
	if got := told["backup"]; len(got) != 2 || got[0] != s.Bytes || got[1] != 0 {
		t.Errorf("the backup of %d bytes told %v", s.Bytes, got)
	}
	if got := told["restore"]; len(got) != 2 || got[0] != s.Bytes || got[1] != s.Bytes {
		t.Errorf("the restore of %d bytes told %v", s.Bytes, got)
	}
	if got := told["export"]; len(got) != 2 || got[1] < 50 || got[0] != got[1]-1 {
		t.Errorf("the export told %v", got)
	}
}
