// The page of a season's panel before anything is in it. Knows no editor, so that plain tests can read it.

export interface SeasonPage {
  /** Random, new for each page: only the script and the style that bear it are let in. */
  readonly nonce: string;
  /** Where the page's script lies, as the webview may ask for it. */
  readonly script: string;
  /** The source that the webview calls its own. */
  readonly source: string;
  /** The server's style sheet; it holds nothing from the records. */
  readonly style: string;
  /** The book's folder. */
  readonly root: string;
}

export function seasonPage({ nonce, script, source, style, root }: SeasonPage): string {
  const policy = `default-src 'none'; script-src 'nonce-${nonce}'; style-src ${source} 'nonce-${nonce}'; base-uri 'none'; form-action 'none'`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${quoted(policy)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Season</title>
<style nonce="${nonce}">${style.replaceAll("</", "<\\/")}</style>
</head>
<body data-root="${quoted(root)}">
<main>
<div class="replay" id="replay" role="group" aria-label="Replay of the season">
<div class="line">
<label for="day">Day</label>
<input type="range" id="day" min="0" max="0" step="1" value="0">
<output for="day"></output>
</div>
<div class="line">
<button type="button" data-does="play">Play</button>
<button type="button" data-does="earlier">Earlier soil movement</button>
<button type="button" data-does="later">Later soil movement</button>
</div>
<ul aria-live="polite" aria-label="What happened on this day"></ul>
</div>
<p id="trouble" role="alert" hidden></p>
<div id="content"><p>Reading the records…</p></div>
</main>
<script nonce="${nonce}" src="${quoted(script)}"></script>
</body>
</html>
`;
}

function quoted(text: string): string {
  return text.replaceAll("&", "&amp;").replaceAll('"', "&quot;").replaceAll("<", "&lt;");
}
