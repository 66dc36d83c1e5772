import { PhotoError } from '../errors.ts';

/** The few calls of the HEIC library that we use; its own types are generated and cover all of C. */
interface HeifLibrary {
  heif_context_alloc(): object;
  heif_context_free(context: object): void;
  heif_context_read_from_memory(context: object, bytes: Uint8Array): HeifStatus;
  heif_js_context_get_primary_image_handle(context: object): object & Partial<HeifStatus>;
  heif_image_handle_release(handle: object): void;
  heif_js_decode_image2(handle: object, space: object, chroma: object): HeifDecoded | HeifStatus;
  heif_image_release(image: object): void;
  readonly heif_error_code: { readonly heif_error_Ok: object };
  readonly heif_colorspace: { readonly heif_colorspace_RGB: object };
  readonly heif_chroma: { readonly heif_chroma_interleaved_RGB: object };
}

interface HeifStatus {
  readonly code: object;
  readonly message: string;
}

interface HeifDecoded {
  readonly image: object;
  readonly channels: readonly {
    readonly width: number;
    readonly height: number;
    readonly stride: number;
    readonly data: Uint8Array;
  }[];
}

let library: Promise<HeifLibrary> | null = null;

/** Loaded on the first HEIC only: 2 MB of WebAssembly that most runs never need. A failed load may be tried again. */
async function load(): Promise<HeifLibrary> {
  library ??= import('libheif-js/wasm-bundle.js' as string).then(
    (m: { default: HeifLibrary }) => m.default,
    (error: unknown) => {
      library = null;
      throw error;
    },
  );
  return library;
}

/**
 * Decodes the primary picture of a HEIC file to 3 channels of 8 bits. The container's turning, mirroring and
 * cropping (irot, imir, clap) are applied by the library; EXIF orientation must not be applied on top.
 *
 * @throws PhotoError 'damaged' with the library's words.
 */
export async function decodeHeicPixels(
  bytes: Uint8Array,
  name: string,
): Promise<{ readonly width: number; readonly height: number; readonly data: Uint8Array }> {
  const heif = await load();
  const context = heif.heif_context_alloc();
  let handle: object | null = null;
  try {
    const opened = heif.heif_context_read_from_memory(context, bytes);
    if (opened.code !== heif.heif_error_code.heif_error_Ok) throw broken(name, opened.message);
    const primary = heif.heif_js_context_get_primary_image_handle(context);
    if (primary.code !== undefined) throw broken(name, primary.message ?? 'no picture in it');
    handle = primary;
    const decoded = heif.heif_js_decode_image2(
      handle,
      heif.heif_colorspace.heif_colorspace_RGB,
      heif.heif_chroma.heif_chroma_interleaved_RGB,
    );
    if (!('image' in decoded)) throw broken(name, decoded.message);
    const plane = decoded.channels[0];
    if (!plane) throw broken(name, 'no colour in it');
    const { width, height, stride } = plane;
    const data = new Uint8Array(width * height * 3);
    for (let y = 0; y < height; y++) {
      data.set(plane.data.subarray(y * stride, y * stride + width * 3), y * width * 3);
    }
    heif.heif_image_release(decoded.image);
    return { width, height, data };
  } finally {
    if (handle) heif.heif_image_handle_release(handle);
    heif.heif_context_free(context);
  }
}

function broken(name: string, words: string): PhotoError {
  return new PhotoError(
    'damaged',
    name,
    `the HEIC picture in it can't be decoded (${words})`,
    'Copy it from the phone again, or save it there as JPEG and use that.',
  );
}
