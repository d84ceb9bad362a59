const LONG_SIDE = 1280;
/** So that base64 of it is well within what the office takes. */
const MOST_BYTES = 500_000;

/** A photo made small enough, as base64 of a JPEG; undefined where the browser cannot read the file as a picture. */
export async function smallPhoto(file: Blob): Promise<string | undefined> {
  let picture: ImageBitmap;
  try {
    picture = await createImageBitmap(file);
  } catch {
    return undefined;
  }
  const scale = Math.min(1, LONG_SIDE / Math.max(picture.width, picture.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  canvas.getContext('2d')?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  for (const quality of [0.75, 0.5, 0.3]) {
    const url = canvas.toDataURL('image/jpeg', quality);
    const data = url.slice(url.indexOf(',') + 1);
    if (data.length * 0.75 <= MOST_BYTES) return data;
  }
  return undefined;
}
