package hunter

import (
	"bytes"
	"context"
	"net/url"
	"strings"

	"coldrail/db"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/static"
	"coldrail/web/ui"

	"github.com/a-h/templ"
	"github.com/google/uuid"
)

// Published is everything that a static host needs for the pages of the owners: path
// below its root, and content. ctx carries the shop. Base is the address under which
// the host is reached, as it stands in the links.
func (p *Pages) Published(ctx context.Context, base string) (Files, error) {
	address, err := url.Parse(base)
	if err != nil {
		return nil, err
	}
	ctx = ui.Under(ctx, strings.TrimSuffix(address.Path, "/"))
	files := Files{"robots.txt": []byte("User-agent: *\nDisallow: /\n")}
	const print = "css/print.css"
	if files[strings.TrimPrefix(static.URL(print), "/")], err = static.Read(print); err != nil {
		return nil, err
	}
	for _, name := range []string{"index.html", "404.html", "s/index.html"} {
		if err := files.add(ctx, name, emptyPage()); err != nil {
			return nil, err
		}
	}
	return files, p.publishLinks(ctx, files)
}

// publishLinks adds a page for each link that is alive.
func (p *Pages) publishLinks(ctx context.Context, files Files) error {
	h, err := readHouse(ctx, p.DB, p.Now())
	if err != nil {
		return err
	}
	for after := uuid.Nil; ; {
		list, err := p.DB.Linked(ctx, after)
		if err != nil || len(list) == 0 {
			return err
		}
		for _, l := range list {
			for _, portion := range append([]cutting.Portion{cutting.WholeAnimal}, l.Shares...) {
				if err := p.publish(ctx, files, l, portion, &h); err != nil {
					return err
				}
			}
			after = l.ID
		}
	}
}

// publish adds the page of one link, unless all of it was picked up.
func (p *Pages) publish(ctx context.Context, files Files, l db.Linked, portion cutting.Portion, h *house) error {
	if !l.Physical.PageStands(l.LastAt, p.Now()) {
		return nil
	}
	token := Token(p.Secret, l.ID, l.LinkRevision)
	if portion != cutting.WholeAnimal {
		token = shareToken(p.Secret, l.ID, portion, l.LinkRevision)
	}
	v, there, err := p.look(ctx, opened{animal: l.ID, portion: portion}, l.Mark, h)
	if err != nil || !there || v.Physical == animal.Released {
		return err
	}
	v.Published = true
	return files.add(ctx, "s/"+token+"/index.html", v.page())
}

// Files are what belongs on the host.
type Files map[string][]byte

func (f Files) add(ctx context.Context, name string, page templ.Component) error {
	var b bytes.Buffer
	err := page.Render(ctx, &b)
	f[name] = b.Bytes()
	return err
}

// Links counts the pages of links among them.
func (f Files) Links() (n int) {
	for name := range f {
		if strings.HasPrefix(name, "s/") && strings.Count(name, "/") == 2 {
			n++
		}
	}
	return n
}
