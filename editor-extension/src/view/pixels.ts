// A picture as pixels: the file that `patchlang draw` writes, painted by the view.

/** Twice the size it is meant to be read at, as far as a canvas goes. */
const scale = 2;
const mostPixels = 120_000_000;
const longest = 16_000;

export async function pixelsOf(svg: string): Promise<ArrayBuffer> {
  const [, width, height] = /<svg[^>]*? width="(\d+)" height="(\d+)"/.exec(svg)?.map(Number) ?? [];
  if (!width || !height) throw new Error('the picture has no size');
  const size = Math.min(scale, longest / width, longest / height, Math.sqrt(mostPixels / (width * height)));
  const address = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
  try {
    const image = new Image();
    image.src = address;
    await image.decode();
    const canvas = document.createElement('canvas');
    canvas.width = Math.round(width * size);
    canvas.height = Math.round(height * size);
    canvas.getContext('2d')!.drawImage(image, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise<Blob | null>(done => canvas.toBlob(done, 'image/png'));
    if (!blob) throw new Error('the picture is too large');
    return await blob.arrayBuffer();
  } finally {
    URL.revokeObjectURL(address);
  }
}
