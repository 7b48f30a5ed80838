// The page of the view: nothing in it runs but the one script, and nothing is loaded but that and its style sheet.

export interface PageParts {
  /** Addresses of the script and the style sheet, as the view may load them. */
  readonly script: string;
  readonly style: string;
  /** Where the editor serves an extension's files from. */
  readonly source: string;
  /** New for every page. */
  readonly nonce: string;
}

export function pageOf({ script, style, source, nonce }: PageParts): string {
  // Pictures become pixels by way of an image that the script makes itself: a blob.
  const policy = `default-src 'none'; script-src 'nonce-${nonce}'; style-src ${source}; img-src blob:`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<title>Drawing</title>
<link rel="stylesheet" href="${style}">
</head>
<body>
<header>
<h1 id="heading" class="unseen">Drawing</h1>
<div role="tablist" aria-label="What is drawn">
<button type="button" role="tab" id="tab-rig" aria-controls="view" aria-selected="true">Rig</button>
<button type="button" role="tab" id="tab-feed" aria-controls="view" aria-selected="false" tabindex="-1">One feed’s way</button>
<button type="button" role="tab" id="tab-clocks" aria-controls="view" aria-selected="false" tabindex="-1">Clocks</button>
</div>
<label id="during" hidden>During <select id="act"><option value="">all acts</option></select></label>
<div role="group" aria-label="Size">
<button type="button" id="smaller" title="Smaller (−)" aria-label="Smaller">−</button>
<button type="button" id="larger" title="Larger (+)" aria-label="Larger">+</button>
<button type="button" id="whole" title="All of it (0)">All of it</button>
</div>
<div role="group" aria-label="Save as a file">
<button type="button" id="save-svg" title="Save as SVG, for light and dark grounds">Save SVG</button>
<button type="button" id="save-png" title="Save as PNG, on light ground">Save PNG</button>
</div>
</header>
<div id="held" role="alert" hidden><p id="why"></p><button type="button" id="go-to-trouble">Go there</button><button type="button" id="draw">Draw it as it stands</button></div>
<main>
<div id="view" tabindex="0" role="tabpanel" aria-labelledby="tab-rig" aria-describedby="keys"></div>
<p id="none" hidden></p>
<p id="keys" class="unseen">Arrow keys move the drawing, plus and minus change its size, 0 shows all of it. Tab goes through its things, Enter leads to a thing’s line.</p>
</main>
<footer><p id="told" role="status"></p></footer>
<script nonce="${nonce}" src="${script}"></script>
</body>
</html>
`;
}
