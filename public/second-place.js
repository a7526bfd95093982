// Keeps bytes in files of this origin that only it can reach, and tells them to the disk before it answers. What
// they mean is the app's business.
//
// It is asked with the number of the question, what is to be done, a file's name and what goes with it, and answers
// with the same number and the outcome. What is asked first is done first. Once something could not be written,
// nothing is until all is written afresh: an addition must not come without the one before it.
let before = Promise.resolve();
let couldNotWrite = false;

onmessage = ({ data: [number, what, name, given] }) => {
  before = before.then(async () => {
    try {
      postMessage([number, await work[what](name, given)]);
    } catch (error) {
      postMessage([number, null, error.name]);
    }
  });
};

const work = {
  /** Tells that everything before it is done. */
  nothing: () => true,

  async read(name, last) {
    return await withFile(name, async (file) => {
      const size = await file.getSize();
      const bytes = new Uint8Array(Math.min(size, last ?? size));
      if (bytes.length > 0) file.read(bytes, { at: size - bytes.length });
      return bytes;
    });
  },

  /** As `write`, of something that does not depend on what was written before. */
  afresh(name, bytes) {
    couldNotWrite = false;
    return work.write(name, bytes);
  },

  append: (name, bytes) => write(name, async (file) => put(file, bytes, await file.getSize())),

  write: (name, bytes) =>
    write(name, async (file) => {
      await file.truncate(0);
      put(file, bytes, 0);
    }),
};

async function write(name, change) {
  if (couldNotWrite) throw new DOMException("an earlier one failed", "InvalidStateError");
  try {
    await withFile(name, async (file) => {
      await change(file);
      await file.flush();
    });
  } catch (error) {
    couldNotWrite = true;
    throw error;
  }
  return true;
}

/** A full disk may take a part of what it is given and say so only by the count. */
function put(file, bytes, at) {
  if (bytes.length > 0 && file.write(bytes, { at }) !== bytes.length) {
    throw new DOMException("not all of it was written", "QuotaExceededError");
  }
}

/** Opened for each task alone, since a file that is open here is closed to every other window. */
async function withFile(name, use) {
  if (!("createSyncAccessHandle" in FileSystemFileHandle.prototype)) {
    throw new DOMException("this browser has no such files", "NotSupportedError");
  }
  const folder = await navigator.storage.getDirectory();
  const handle = await (await folder.getFileHandle(name, { create: true })).createSyncAccessHandle();
  try {
    return await use(handle);
  } finally {
    await handle.close();
  }
}
