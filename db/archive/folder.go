package archive

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/backup"

	"filippo.io/age"
)

// Folder is the directory or drive that the nightly copies go to.
type Folder string

// marker tells the drive the owner chose from an empty folder left behind where
// it is not mounted.
const marker = ".coldrail-backups"

// stamp is the time in a nightly copy's name, in UTC.
const stamp = "20060102-150405"

// Choose marks the folder as the one for copies; it must exist and take a file.
func (f Folder) Choose() error {
	if !filepath.IsAbs(string(f)) {
		return domain.Wrong("directory", "Give the whole path, beginning with /, such as /mnt/backup.")
	}
	if info, err := os.Stat(string(f)); err != nil || !info.IsDir() {
		return domain.Wrong("directory", "There is no such folder on the machine that runs the program. Is the drive plugged in?")
	}
	text := []byte("Coldrail puts its nightly backups here. Without this file it takes the drive for missing.\n")
	if err := os.WriteFile(filepath.Join(string(f), marker), text, 0o600); err != nil {
		return domain.Wrong("directory", "The program may not write into this folder. Change its owner, or choose another.")
	}
	return nil
}

// Keep writes one copy into the folder and thins the old ones. Where something
// went wrong, made is the file that was tried.
func (f Folder) Keep(ctx context.Context, address string, to age.Recipient, now time.Time, zone *time.Location) (file string, bytes int64, thinned int, err error) {
	file = filepath.Join(string(f), "coldrail-"+now.UTC().Format(stamp)+ending(to))
	if _, err := os.Stat(filepath.Join(string(f), marker)); err != nil {
		return file, 0, 0, domain.Refuse("backup", "The drive is not there, or not the one that was chosen: %s.", string(f))
	}
	if _, err := Write(ctx, address, file, to, now); err != nil {
		return file, 0, 0, err
	}
	info, err := os.Stat(file)
	if err != nil {
		return file, 0, 0, err
	}
	if to == nil { // what is encrypted only its owner can read again
		if _, err := Look(file); err != nil {
			return file, 0, 0, err
		}
	}
	thinned, err = f.thin(zone)
	return file, info.Size(), thinned, err
}

func ending(to age.Recipient) string {
	if to == nil {
		return ".backup"
	}
	return ".backup.age"
}

// thin takes away the copies that need not stay. Only files that bear a nightly
// copy's name are touched.
func (f Folder) thin(zone *time.Location) (n int, err error) {
	entries, err := os.ReadDir(string(f))
	if err != nil {
		return 0, err
	}
	named := map[time.Time]string{}
	var made []time.Time
	for _, e := range entries {
		if at, ok := madeAt(e.Name()); ok {
			named[at] = e.Name()
			made = append(made, at)
		}
	}
	for _, at := range backup.Thin(made, zone) {
		if gone := os.Remove(filepath.Join(string(f), named[at])); gone != nil {
			err = errors.Join(err, gone)
			continue
		}
		n++
	}
	return n, err
}

func madeAt(name string) (at time.Time, ok bool) {
	text, ok := strings.CutPrefix(name, "coldrail-")
	if !ok {
		return at, false
	}
	text = strings.TrimSuffix(text, ".age")
	if text, ok = strings.CutSuffix(text, ".backup"); !ok {
		return at, false
	}
	at, err := time.Parse(stamp, text)
	return at, err == nil
}
