// rule: playback-off-the-band
/// Playback is never on the first eight strips of a desk.
///
/// Those eight are under the left hand, where the engineer expects the kit. Somebody who reaches for the
/// snare in the dark must not find the intro there.
///
/// A playback machine is gear whose sockets say `play`; what it plays counts on every strip that it reaches
/// before it is mixed.

const int kept = 8;

foreach (var desk in Rig.Desks)
    foreach (var strip in desk.Strips.Where(s => s.Number <= kept))
        foreach (var signal in strip.Carries.Where(IsPlayed))
            Finding(signal.Hops.FirstOrDefault(h => h.To == strip) as IPlaced ?? signal,
                $"{signal.Title} is playback, and comes up on {strip}; the first {kept} strips are for the band",
                Severity.Error, see: [desk]);

// Whether the sound in a signal starts at a socket of a playback machine.
bool IsPlayed(Signal signal) => signal.Origins.Any(o => o.Port.LocalName == "play");
