/** A table as comma-separated text (RFC 4180), kept from being read as formulas by a spreadsheet. */
export function csv(columns: readonly string[], rows: readonly (readonly (string | number)[])[]): string {
  return [columns, ...rows].map((row) => row.map(cell).join(",")).join("\r\n") + "\r\n";
}

function cell(value: string | number): string {
  if (typeof value === "number") return String(value);
  const plain = /^[=+\-@\t\r]/.test(value) && !/^[+-]?[\d.]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(plain) ? `"${plain.replaceAll('"', '""')}"` : plain;
}

/** A name that every system takes. */
export function fileName(title: string, ending: string): string {
  const plain = title.toLowerCase().replaceAll(/[^\p{L}\p{N}]+/gu, "-").replaceAll(/^-|-$/g, "");
  return `${plain || "table"}.${ending}`;
}

/** Hand text to the builder as a file. */
export function handOver(name: string, text: string, type: string): void {
  handOverFile(name, new Blob([text], { type }));
}

export function handOverFile(name: string, file: Blob): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}
