using System.Globalization;
using System.Text;
using System.Text.Json.Nodes;
using FluentAssertions;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>What must hold after any number of edits.</summary>
public sealed class EndlessTests
{
    private const string Quay = """
        rig "Lantern Quay"
        rate 48 kHz
        use "gear.rig"
        act tide
        act bells after tide
        unit rack : Rack(8) "Stage rack"
        unit desk : Desk "Desk" { expansion = Card(8) }
        network stage : quay_net { join rack.net, desk.expansion.net  latency 1 ms }
        timekeeper desk { standby rack }
        follow desk.expansion from host
        follow rack from net
        reserve rack.mic[8] "spare"
        feed lead "Lead vocal" : rack.mic[1] -> desk.expansion.net[1] -> desk.ch[1] { phantom }
        feed choir[1..2] "Low", "High" : rack.mic[2..3] -> desk.expansion.net[2..3] -> desk.ch[2..3]
        feed guest : rack.mic[4] -> desk.expansion.net[4] -> desk.ch[4] during bells
        bundle band : lead, choir
        feed mix : sum(band after fader, either(lead before fader, guest before fader)) -> desk.mix[1]
        expect mix hears lead
        expect lead latency <= 5 ms
        expect mix never hears guest during tide

        """;

    private const string Gear = """
        format quay_line { joins point_to_point  way one  time none  medium twisted_pair up to 100 m }
        format quay_net { joins switched  way both  channels 64 at 48 kHz  time shared  medium utp up to 100 m }
        gear Rack(mics) "rack" {
          in   mic[mics] : quay_line { phantom }
          port net : quay_net { in 16  out 16 }
          route mic -> net fixed
          clock main { accuracy = 10 ppm  from internal, net }
          latency mic -> net 0.5 ms
        }
        gear Desk "desk" {
          strip ch[8]
          bus   mix[2] { before fader }
          slot  expansion : desk_card
          route any -> ch free
          route ch -> mix free
          clock main { accuracy = 10 ppm  from internal, expansion }
        }
        card Card(channels) for desk_card {
          port net : quay_net { in channels  out channels }
          clock main { accuracy = 20 ppm  from internal, host, net }
        }

        """;

    /// <summary>What is typed: whole statements, and pieces that break what they land in.</summary>
    private static readonly string[] Pieces =
    [
        "rate 48 kHz\n", "unit box", "feed spare : rack.mic[5] -> desk.expansion.net[5] -> desk.ch[5]\n", "\n", " ", "[1..3]", "\"", "}", "{ ", "/*", "*/", "// ", "->", "sum(lead, ", "é𝄞", "\r\n",
        "gear Box { out a[4] : quay_line }\n", "format quay_line { joins shared }\n", "unit ear : Rack(2)\n", "use \"gear.rig\"\n", "use \"gear.rig\" as g\n", "during tide", "during any except tide", "act tide\n",
        "expect lead hears lead\n", "expect desk.expansion.net spare in >= 2\n", "allow PL0301 \"why\"\n", "insert desk.ch[1] : desk.mix[1] -> desk.ch[2]\n", "loom red : 4 ways 5 m\n", "1", "x", "lead", "choir", "rack.net",
    ];

    private static readonly string[] Compared = ["textDocument/diagnostic", "textDocument/inlayHint", "textDocument/codeLens", "textDocument/semanticTokens/full", "patchlang/expectations", "patchlang/status"];

    /// <summary>So many edits; <c>PATCHLANG_EDITS</c> asks for more, for a long run.</summary>
    private static readonly int Count = NumberIn("PATCHLANG_EDITS", 400);

    /// <summary>Where the seeds begin; <c>PATCHLANG_SEED</c> begins elsewhere.</summary>
    private static readonly int FirstSeed = NumberIn("PATCHLANG_SEED", 1);

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    public async Task Random_edits_end_with_the_answers_of_a_fresh_start(int number)
    {
        const int between = 20;
        var random = new Random(FirstSeed + number);
        using var folder = new Folder();
        using var elsewhere = new Folder();
        string[] names = ["quay.rig", "gear.rig"];
        var texts = new[] { new StringBuilder(Quay), new StringBuilder(Gear) };
        using var server = await ServerProcess.Start(Clients.Pulling, folder.FullPath);
        using var other = await ServerProcess.Start(Clients.Pulling, elsewhere.FullPath);
        for (var i = 0; i < names.Length; i++) server.Open(folder.UriOf(names[i]), texts[i].ToString(), version: 0);
        for (var version = 1; version <= Count; version++)
        {
            var which = random.Next(4) == 0 ? 1 : 0;
            Edit(server, folder.UriOf(names[which]), version, texts[which], which == 0 ? Quay : Gear, random);
            // Now and then a question in between, whose answer does not matter here.
            if (random.Next(5) == 0) server.Send("textDocument/completion", Position(folder.UriOf(names[which]), random.Next(20), random.Next(20)));
            if (random.Next(9) == 0) server.Send("textDocument/semanticTokens/full", Document(folder.UriOf(names[0])));
            if (version % between == 0) await Compare(other, isKept: true, version);
        }
        using var fresh = await ServerProcess.Start(Clients.Pulling, elsewhere.FullPath);
        await Compare(fresh, isKept: false, Count);

        // The same texts, opened by a server that has seen none of the edits; one that is kept has at least none of these compilations.
        async Task Compare(ServerProcess whole, bool isKept, int version)
        {
            for (var i = 0; i < names.Length; i++) whole.Open(elsewhere.UriOf(names[i]), texts[i].ToString());
            foreach (var name in names)
                foreach (var method in Compared)
                {
                    var edited = await Answer(server, method, folder, name);
                    var expected = await Answer(whole, method, elsewhere, name);
                    edited.Should().Be(expected, "{0} of {1} after {2} edits with seed {3} of\n{4}\n=====\n{5}", method, name, version, FirstSeed + number, texts[0], texts[1]);
                }
            for (var i = 0; isKept && i < names.Length; i++) whole.Close(elsewhere.UriOf(names[i]));
        }
    }

    private static async Task<string> Answer(ServerProcess server, string method, Folder folder, string name)
    {
        var parameters = method.StartsWith("patchlang", StringComparison.Ordinal) ? new JsonObject { ["uri"] = folder.UriOf(name) } : Document(folder.UriOf(name));
        if (method == "textDocument/inlayHint") parameters["range"] = ServerProcess.RangeOf(0, 0, 100_000, 0);
        JsonObject answer;
        try
        {
            answer = await server.Ask(method, parameters);
        }
        catch (TimeoutException)
        {
            return "no answer";
        }
        answer.Remove("id");
        // Numbers of answers differ from server to server.
        (answer["result"] as JsonObject)?.Remove("resultId");
        return answer.ToJsonString().Replace(folder.UriOf(""), "", StringComparison.Ordinal);
    }

    private static void Edit(ServerProcess server, string uri, int version, StringBuilder text, string original, Random random)
    {
        var start = random.Next(text.Length + 1);
        var length = random.Next(4) == 0 ? Math.Min(random.Next(20), text.Length - start) : 0;
        var piece = random.Next(3) == 0 && length > 0 ? "" : Pieces[random.Next(Pieces.Length)];
        if (random.Next(60) == 0) (start, length, piece) = (0, text.Length, original); // back to a plan that makes sense
        else if (text.Length > 2 * original.Length) (length, piece) = (Math.Min(original.Length / 2, text.Length - start), "");
        // An edit never cuts a pair of surrogates, nor stands inside a line break.
        if (IsInside(text, start) || IsInside(text, start + length)) return;
        var (line, character) = PlaceOf(text, start);
        var (endLine, endCharacter) = PlaceOf(text, start + length);
        server.Change(uri, version, line, character, endLine, endCharacter, piece);
        text.Remove(start, length).Insert(start, piece);
    }

    private static bool IsInside(StringBuilder text, int offset) =>
        offset > 0 && offset < text.Length && (char.IsLowSurrogate(text[offset]) || (text[offset - 1] == '\r' && text[offset] == '\n'));

    private static (int Line, int Character) PlaceOf(StringBuilder text, int offset)
    {
        var (line, start) = (0, 0);
        for (var i = 0; i < offset; i++)
            if (text[i] == '\n' || (text[i] == '\r' && (i + 1 == text.Length || text[i + 1] != '\n'))) (line, start) = (line + 1, i + 1);
        return (line, offset - start);
    }

    private static int NumberIn(string variable, int otherwise) =>
        int.Parse(Environment.GetEnvironmentVariable(variable) ?? otherwise.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

    private static JsonObject Document(string uri) => new() { ["textDocument"] = new JsonObject { ["uri"] = uri } };

    private static JsonObject Position(string uri, int line, int character)
    {
        var parameters = Document(uri);
        parameters["position"] = new JsonObject { ["line"] = line, ["character"] = character };
        return parameters;
    }
}
