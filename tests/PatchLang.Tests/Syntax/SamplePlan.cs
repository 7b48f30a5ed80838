namespace PatchLang.Tests.Syntax;

/// <summary>A plan that uses every rule of the grammar at least once, and reads without a finding of text.</summary>
internal static class SamplePlan
{
    public const string Text = """
        // The evening on the quay.
        rig "Lantern Quay, harbour stage" edition 1
        rate 48 kHz

        use "library/stage.rig"
        use "crew.rig" as crew

        act tide  "The Tide Band"
        act bells "Harbour Bells" after tide { note = "with the choir" }

        /// The rack at the foot of the crane.
        unit rack        : StageRack(32, 16)  "Stage rack"  { place = "up-stage left" }
        unit desk        : crew.Desk48        "Desk"        { expansion = NetCard(64) }
        unit ears        : EarsHub            "Monitor hub" { slot_a = NetInput16  slot_b = LineInput8 }
        unit mixer[1..3] : PersonalMixer      "Mara", "Jonas", "Keys" during tide
        unit player      : PlaybackPc         "Playback"
        unit recorder    : Recorder64         "Multitrack" at 96 kHz

        network stage : aes67 {
          join    rack.net, desk.expansion.net, ears.slot_a.net, player.net
          join    recorder.net
          latency 1 ms
          latency 2 ms at ears.slot_a.net, player.net
          link    1 Gbit/s
          group   rack.net[1..8] "239.1.1.10"
          packet_time = 0.25 ms
          budget = 75 %
        }
        network spare_leg : aes67 "Second leg" { twin stage  multicast } during bells

        loom  red "Stage-left loom" : 12 ways 15 m
        cable desk.madi -> recorder.madi : coax 12 m "M1"
        cable rack.line[1..4] -> ears.slot_b.line[1..4] : red[1..4]
        cable ears.chain -> mixer[1].chain : 15 m during tide
        cable player.out -> desk.in[7]

        timekeeper desk { standby rack, player }
        follow desk.expansion from host        // the card takes the desk's time
        follow recorder from madi during any except bells
        reserve rack.mic[31..32] "spare pair"

        feed fiddle      "Fiddle"           : rack.mic[1] -> desk.expansion.net[1] -> desk.ch[1] { phantom }
        feed lead        "Lead vocal"       : rack.mic[5] -> desk.expansion.net[5] -> desk.ch[5] during tide
        feed backing[1..2] "Low", "High"    : rack.mic[6..7] -> desk.ch[6..7] { level = -46 dBu  gain_by = desk  delay = 12 ms }
        feed piano[L, R] "Piano"            : rack.mic[8, 10] -> desk.ch[8, 10]
        feed sea                            : player.play[1..last]
        feed keys                           : either(player.play[1], rack.mic[9] before all)
        bundle band "All of them" : fiddle, lead at rack.net, backing, piano during any except bells
        feed band_mix[L, R] "Band" : sum(band before fader, sea except fiddle to [L, R] -6 dB, either(keys, lead)) -> desk.mix[1..2]
        feed lead_rec              : lead at rack.net -> recorder.track[5]
        feed house[L, R]  "House"  : band after fader -> desk.main[1..2] -> desk.line[1..2] { public }
        insert desk.ch[5] "Tape echo" : desk.line[9] -> desk.line[10] during tide

        expect lead_ears latency <= 5 ms
        expect band_mix latency from rack.mic[1] < 20 ms
        expect band_mix headroom >= 6 dB
        expect ears.send[3] hears lead, fiddle
        expect house never hears lead_ears during tide
        expect desk.expansion.net spare out >= 8

        allow PL0907 "the length is measured on the day"
        cable rack.aes[1] -> desk.aes[1]

        gear StageRack(mics = 32, lines) "stage rack" {
          in    mic[mics], talk : analog  "combo" { phantom  full_scale = +18 dBu  gain = 0..60 dB }
          out   line[lines] : analog  { full_scale = +24 dBu }
          port  net         : aes67   { in 64  out 64  link 100 Mbit/s  streams = 32  block = 8 }
          port  aes         : aes3    { in 8   out 8  by 2  twin net  resamples }
          route mic         -> net        fixed
          route net, mic[1] -> line, aes  free by 8
          route any         -> aes        either
          in    wordclock   : wordclock
          out   w[2]        : wordclock at 48 kHz
          slot  expansion   : desk_expansion "rear"
          strip ch[48]
          bus   mix[12] { before fader }
          clock main { accuracy = 10 ppm  from internal, net, wordclock, aes[1] }
          latency mic -> net 0.4..0.6 ms
          limit 24 in through expansion, net
          powered = "by the frame"
        }
        card NetCard(channels = 64) for desk_expansion "network card" { port net : aes67 { in channels out channels } }

        format madi "AES10" {
          joins    point_to_point
          way      one
          channels 64 at 32..48 kHz
          time     embedded
          medium   coax  up to 50 m, at most 100 m
          medium   fibre up to 2000 m
          latency  0.0625 ms
          unbalanced
        }

        """;
}
