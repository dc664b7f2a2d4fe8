  function place(axis, minute) {
    let x = 0;
    for (const [start, end] of axis.stretches) {
      if (minute < start) return null;
      if (minute <= end) return x + (minute - start) * axis.scale;
      x += (end - start) * axis.scale + axis.gap;
    }
    return null;
  }
