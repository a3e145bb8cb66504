// A picture file drawn anew: upright, small, and nothing in it but what is seen.
import { BYTES_MOST, tries } from "../model/picture.js";

const TYPE = "image/jpeg";

// Older browsers do not know the word; what they turn by themselves is upright too.
function decoded(file) {
  return createImageBitmap(file, { imageOrientation: "from-image" })
    .catch((error) => (error instanceof TypeError ? createImageBitmap(file) : Promise.reject(error)));
}

function draw(canvas, picture, { width, height }) {
  Object.assign(canvas, { width, height });
  const brush = canvas.getContext("2d");
  brush.fillStyle = "white"; // what was clear would turn black
  brush.fillRect(0, 0, width, height);
  brush.drawImage(picture, 0, 0, width, height);
}

const encoded = (canvas, quality) => new Promise((resolve) => { canvas.toBlob(resolve, TYPE, quality); });

// {canvas, bytes}, or null for a file that is no picture this phone can draw.
export async function shrunk(file) {
  const picture = await decoded(file).catch(() => null);
  if (!picture) return null;
  const canvas = document.createElement("canvas");
  try {
    for (const { quality, ...size } of tries(picture.width, picture.height)) {
      if (canvas.width !== size.width || canvas.height !== size.height) draw(canvas, picture, size);
      const blob = await encoded(canvas, quality);
      // A browser without JPEG would give another type.
      if (blob?.type === TYPE && blob.size <= BYTES_MOST) return { canvas, bytes: await blob.arrayBuffer() };
    }
    return null;
  } catch {
    return null;
  } finally {
    picture.close();
  }
}
