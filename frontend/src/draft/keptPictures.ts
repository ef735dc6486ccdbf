const STORE = "pictures";

/** Pictures that were chosen, kept in this browser until they are chosen anew: a reload shows them again. */
function opened(): Promise<IDBDatabase> {
  const asked = indexedDB.open("finial-photos", 1);
  asked.onupgradeneeded = () => asked.result.createObjectStore(STORE);
  return answered(asked);
}

function answered<Told>(asked: IDBRequest<Told>): Promise<Told> {
  return new Promise((done, failed) => {
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
}

const keyOf = (file: string, photo: string): string => `${file}/${photo}`;

export async function keepPicture(file: string, photo: string, picture: Blob): Promise<void> {
  const store = (await opened()).transaction(STORE, "readwrite").objectStore(STORE);
  await answered(store.put(picture, keyOf(file, photo)));
}

/** The picture of a photo of a file of marks; undefined where none was chosen in this browser. */
export async function keptPicture(file: string, photo: string): Promise<Blob | undefined> {
  const store = (await opened()).transaction(STORE, "readonly").objectStore(STORE);
  return answered<Blob | undefined>(store.get(keyOf(file, photo)));
}
