using System.Text.Json;
using PatchLang.Outputs.Drawings;
using PatchLang.Text;
using static System.FormattableString;

namespace PatchLang.Benchmarks;

/// <summary>Drawings of the samples and of random rigs as bare boxes and lines, for another layout to be measured beside ours.</summary>
internal static class Layouts
{
    private const int TitleRow = 24, DetailRow = 14, Row = 30, Foot = 12, Stub = 22;

    private static readonly (int Units, uint Seed)[] randoms =
        [(10, 1), (15, 2), (20, 3), (25, 4), (30, 5), (30, 6), (40, 7), (40, 8), (50, 9), (50, 10), (60, 11), (60, 12)];

    /// <summary>Writes a file for each plan.</summary>
    public static void Write(string folder)
    {
        Directory.CreateDirectory(folder);
        foreach (var sample in (string[])["lantern-quay/lantern-quay", "ten-minutes/ten-minutes", "studio-without-desk/studio-without-desk", "wrong/wrong"])
        {
            var path = Path.Combine("samples", sample + ".rig");
            Write(folder, Path.GetFileName(sample), Read(path));
        }
        Write(folder, "sixty-units", Read(Path.Combine("tests", "Pictures", "sixty-units.rig")));
        foreach (var (units, seed) in randoms) Write(folder, Invariant($"random-{units}-{seed:00}"), GeneratedPlan.Compile(RandomRig.Text(units, seed)));
    }

    /// <summary>A plan from the disk, compiled.</summary>
    public static Compilation Read(string path)
    {
        var folder = Path.GetDirectoryName(path)!;
        return Compilation.Create(new SourceText(Path.GetFileName(path), File.ReadAllText(path)), used =>
            File.Exists(Path.Combine(folder, used)) ? FileReading.Of(new SourceText(used, File.ReadAllText(Path.Combine(folder, used)))) : FileReading.Failed(FileProblem.NotFound));
    }

    private static void Write(string folder, string name, Compilation plan)
    {
        var drawing = RigDrawing.Of(plan, plan.Rig.AllActs);
        using var stream = File.Create(Path.Combine(folder, name + ".json"));
        using var json = new Utf8JsonWriter(stream);
        json.WriteStartObject();
        json.WriteNumber("width", drawing.Width);
        json.WriteNumber("height", drawing.Height);
        json.WriteStartArray("boxes");
        foreach (var box in drawing.Boxes) Write(json, drawing, box);
        json.WriteEndArray();
        json.WriteStartArray("lines");
        foreach (var line in drawing.Lines)
        {
            json.WriteStartObject();
            json.WriteString("id", $"l{line.Number}");
            json.WriteString("from", From(drawing, line));
            json.WriteString("to", To(drawing, line));
            json.WriteStartArray("path");
            foreach (var (x, y) in line.Path)
            {
                json.WriteStartArray();
                json.WriteNumberValue(x);
                json.WriteNumberValue(y);
                json.WriteEndArray();
            }
            json.WriteEndArray();
            json.WriteEndObject();
        }
        json.WriteEndArray();
        json.WriteEndObject();
    }

    /// <summary>A box with the room for what is written beside it, which the other layout has to leave too.</summary>
    private static void Write(Utf8JsonWriter json, Drawing drawing, DrawnBox box)
    {
        var (left, right) = (Room(drawing, box, isRight: false), Room(drawing, box, isRight: true));
        var isFree = box.Sort == BoxSort.Network;
        var ports = isFree
            ? [.. drawing.Lines.Where(l => l.FromBox == box.Number).Select(l => (Id: From(drawing, l), IsRight: true, Y: 0)), .. drawing.Lines.Where(l => l.ToBox == box.Number).Select(l => (Id: To(drawing, l), IsRight: false, Y: 0))]
            : box.Ports.Select((p, i) => (Id: Invariant($"b{box.Number}p{i}"), IsRight: p.IsOnRight, Y: p.Y - box.Y)).ToList();
        // A network as high as its ports need: that ours draws it out is ours to answer for.
        var height = isFree ? TitleRow + DetailRow * box.Details.Length + Row * Math.Max(ports.Count(p => p.IsRight), ports.Count(p => !p.IsRight)) + Foot : box.Height;
        json.WriteStartObject();
        json.WriteString("id", $"b{box.Number}");
        json.WriteNumber("width", box.Width + left + right);
        json.WriteNumber("height", height);
        json.WriteBoolean("free", isFree);
        json.WriteStartArray("ports");
        foreach (var (id, isRight, y) in ports)
        {
            json.WriteStartObject();
            json.WriteString("id", id);
            json.WriteBoolean("right", isRight);
            json.WriteNumber("y", y);
            json.WriteEndObject();
        }
        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static int Room(Drawing drawing, DrawnBox box, bool isRight) =>
        drawing.Lines.Where(l => l.IsToldAtEnd != isRight && (isRight ? l.FromBox : l.ToBox) == box.Number).Select(l => l.Room)
            .Concat(box.Ports.Where(p => p.IsOnRight == isRight && p.Beyond != Beyond.Line).Select(_ => Stub))
            .DefaultIfEmpty(0).Max();

    // A line that leaves another one starts where that does.
    private static string From(Drawing drawing, DrawnLine line) => PortOf(drawing.Boxes[line.FromBox], line.From, isRight: true, line.Number, line.Path[0].Y, isEnd: !line.Branches);

    private static string To(Drawing drawing, DrawnLine line) => PortOf(drawing.Boxes[line.ToBox], line.To, isRight: false, line.Number, line.Path[^1].Y, isEnd: true);

    private static string PortOf(DrawnBox box, string name, bool isRight, int line, int y, bool isEnd)
    {
        if (box.Sort == BoxSort.Network) return Invariant($"b{box.Number}l{line}");
        for (var i = 0; i < box.Ports.Length; i++)
            if (box.Ports[i].IsOnRight == isRight && box.Ports[i].Name == name && (!isEnd || box.Ports[i].Y == y)) return Invariant($"b{box.Number}p{i}");
        throw new InvalidOperationException($"{name} is no port of {box.Name}.");
    }
}
