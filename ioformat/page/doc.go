// Package page writes a result as one self-contained page of HTML.
//
// It believes that a page is kept, sent and printed: it needs no network, no
// other file and no script to tell what the readings tell, it says so to the
// browser by a content security policy, and the same result gives the same
// bytes. Answer, tables, sentences and figures are those of packages report and
// figure; the page adds their order and their looks.
//
// The panel to try a change holds no physics. The model is sampled once, by
// [decisions.Predict], and goes along as Chebyshev expansions, checked
// against the model before they are written; a setting that the readings don't
// determine has no number there either.
package page
