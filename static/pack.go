package static

import (
	"bytes"
	"compress/gzip"
	"net/http"
	"strings"
	"sync"
)

// zips have packed before: a new one takes most of a megabyte.
var zips = sync.Pool{New: func() any { return gzip.NewWriter(nil) }}

// Pack packs what is sent more than once.
func Pack(content []byte) []byte {
	var packed bytes.Buffer
	zip := zips.Get().(*gzip.Writer)
	defer zips.Put(zip)
	zip.Reset(&packed)
	_, err := zip.Write(content)
	if err == nil {
		err = zip.Close()
	}
	if err != nil {
		panic("static: " + err.Error()) // memory takes every write
	}
	return packed.Bytes()
}

// Choose is the packed content for a browser that takes it so, with the headers that
// say it, and else the plain.
func Choose(w http.ResponseWriter, r *http.Request, plain, packed []byte) []byte {
	w.Header().Set("Vary", "Accept-Encoding")
	takes := r.Header.Get("Accept-Encoding")
	if !strings.Contains(takes, "gzip") || strings.Contains(takes, "gzip;q=0") || len(packed) >= len(plain) {
		return plain
	}
	w.Header().Set("Content-Encoding", "gzip")
	return packed
}
