// Money as decimal texts, exactly: no binary fractions.

function scaled(amount) {
  const [whole, decimals = ""] = amount.replace("-", "").split(".");
  const size = BigInt(whole + decimals);
  return { units: amount.startsWith("-") ? -size : size, digits: decimals.length };
}

/** The difference of two amounts, with as many decimals as the longer one. */
export function difference(amount, less) {
  const [a, b] = [scaled(amount), scaled(less)];
  const digits = Math.max(a.digits, b.digits);
  const units = a.units * 10n ** BigInt(digits - a.digits) - b.units * 10n ** BigInt(digits - b.digits);
  const text = (units < 0n ? -units : units).toString().padStart(digits + 1, "0");
  const shown = digits ? `${text.slice(0, -digits)}.${text.slice(-digits)}` : text;
  return units < 0n ? `-${shown}` : shown;
}

/** An amount with its sign and a mark for thousands, as people read it. */
export function signed(amount) {
  if (/^-?0*\.?0*$/.test(amount)) return "no difference";
  return amount.startsWith("-") ? `−${grouped(amount.slice(1))}` : `+${grouped(amount)}`;
}

export function grouped(amount) {
  const [whole, decimals] = amount.split(".");
  const marked = whole.replace(/\B(?=(\d{3})+$)/g, ",");
  return decimals === undefined ? marked : `${marked}.${decimals}`;
}
