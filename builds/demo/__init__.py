"""An invented rescue to look around in. Nobody and nothing in it is real.

Fennel Row Small Animal Rescue keeps guinea pigs and rabbits in eleven foster homes and a depot.
Odile coordinates, Marek and Signe build, Ines fosters, Tobi does the laundry. A new coordinator
meets one of each thing that the work brings, on whatever day the demo is brought in:

- Ines, Larkrise: the foster's own home, and a good one. Biscuit lost weight and is on drops
  that her vet prescribed, one of which she spat out; a trio is weighed this week, a towel slips
  from a ramp, and linens are changed today.
- The depot, Millrace: new intakes. Bramble and Cocoa are in quarantine, Isolation 2 is free;
  Marmalade and Nutmeg came in today and sit in a carrier.
- Sunniva, Ash Lane: Parsnip was with a boar before she came and may have her litter any day. A
  vet's word is recorded beside the warning.
- Kofi, Saltmarsh: Truffle's son Umber is old enough to sire and must leave his mother and sister
  today. Ginger and Pepper were reunited; the reason given for two boars before holds no longer.
- Perpetua, Ash Lane: Hazel and Rowan, rabbits, have too little floor. The build “Room for Hazel
  and Rowan” will mend that.
- Idris, Saltmarsh: put Maple, four days with the rescue, straight in with Poppy and Saffron.
- Marigold, Millrace: Barley and Oats were castrated three weeks ago, and wait to join Lily and
  Primrose.
- Anselm, Larkrise: Bracken and Fern, rabbits, live as they should. A tape lifts, which can wait.
- Zuleika, Upper Tarn: one enclosure stands free, one is planned, and safety checks are due.
- Thaddeus, Saltmarsh: one enclosure is being built, one needs repair.
- Noor, Ash Lane: a cut wire end makes the porch unsafe. Her cupboard of linens runs out tomorrow.
- Clementine, Millrace: Walnut's litter is two weeks old; her son Yarrow leaves in a few days.

Sorrel and Pebble are reserved, and their enclosure at the new home is measured. Burnet and Vetch
are on trial, which ends today. One adopter waits for two sows.

In the workshop a long wall is built today, a pair by the landing failed its inspection, Ada's kit
is being packed, Juno builds hers by a link, Milo has his and is to be asked how it goes, a pull is
half done, and the sheets for the Saturday crew are cut. Three items of the store are below their
level. The figures of its deliveries are as invented as the rest.
"""
