// Reads a PDF back, with a reader of its own: the size and the words of each page.
import { getDocument } from "pdfjs-dist/legacy/build/pdf.mjs";

export interface PdfPage {
  /** In points of 1/72 inch. */
  readonly width: number;
  readonly height: number;
  readonly words: string;
}

export async function readPdf(bytes: Uint8Array): Promise<PdfPage[]> {
  const document = await getDocument({ data: new Uint8Array(bytes), verbosity: 0 }).promise;
  const pages: PdfPage[] = [];
  for (let number = 1; number <= document.numPages; number++) {
    const page = await document.getPage(number);
    const { width, height } = page.getViewport({ scale: 1 });
    const { items } = await page.getTextContent();
    const words = items.map((item) => ("str" in item ? item.str : "")).join(" ");
    pages.push({ width: Math.round(width), height: Math.round(height), words: words.replace(/\s+/g, " ") });
  }
  await document.destroy();
  return pages;
}
