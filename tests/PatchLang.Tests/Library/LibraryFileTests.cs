using FluentAssertions;
using PatchLang.Declarations;
using PatchLang.Formatting;
using PatchLang.Syntax;
using Xunit;

namespace PatchLang.Tests.Library;

public sealed class LibraryFileTests
{
    private static readonly NodeKind[] gearKinds = [NodeKind.Gear, NodeKind.Card];

    public static TheoryData<string> Paths => [.. ShippedLibrary.Paths];

    [Fact]
    public void There_is_a_library() =>
        ShippedLibrary.Paths.Should().Contain(["library/formats.rig", "library/stage.rig", "library/desks.rig", "library/cards.rig", "library/ears.rig"]);

    [Theory]
    [MemberData(nameof(Paths))]
    public void A_file_reads_without_findings(string path) => LibraryDeclarations.Tree(path).Findings.Should().BeEmpty();

    [Theory]
    [MemberData(nameof(Paths))]
    public void A_file_is_tidy(string path) => Tidy.Edits(LibraryDeclarations.Tree(path)).Should().BeEmpty();

    [Theory]
    [MemberData(nameof(Paths))]
    public void A_file_declares_and_plans_nothing(string path)
    {
        var tree = LibraryDeclarations.Tree(path);
        for (var i = 0; i < tree.Count; i++)
            tree[i].Kind.Should().BeOneOf(NodeKind.Use, NodeKind.Format, NodeKind.Gear, NodeKind.Card);
    }

    [Theory]
    [MemberData(nameof(Paths))]
    public void What_a_file_uses_lies_beside_it(string path)
    {
        foreach (var used in UsedBy(path)) ShippedLibrary.Paths.Should().Contain("library/" + used);
    }

    [Theory]
    [MemberData(nameof(Paths))]
    public void Every_declaration_is_documented(string path)
    {
        var tree = LibraryDeclarations.Tree(path);
        for (var i = 0; i < tree.Count; i++)
            if (tree[i].Kind != NodeKind.Use)
                tree.DocumentationOf(i).Should().NotBeNullOrWhiteSpace("{0} is shown on hover and in the sheets", NameOf(tree[i]));
    }

    [Fact]
    public void The_file_of_every_declaration_is_known()
    {
        foreach (var (sort, kind) in new[] { ("gear", NodeKind.Gear), ("card", NodeKind.Card), ("format", NodeKind.Format) })
            foreach (var (path, tree, index) in LibraryDeclarations.All(kind)) ShippedLibrary.FileWith(sort, NameOf(tree[index])).Should().Be(path);
        ShippedLibrary.FileWith("gear", "Nothing").Should().BeNull();
        ShippedLibrary.FileWith("unit", "Desk48").Should().BeNull();
    }

    [Fact]
    public void No_two_formats_and_no_two_pieces_of_gear_bear_one_name()
    {
        Names([NodeKind.Format]).Should().OnlyHaveUniqueItems();
        Names(gearKinds).Should().OnlyHaveUniqueItems();
    }

    [Fact]
    public void The_gear_of_the_language_s_own_example_is_there() =>
        Names(gearKinds).Should().Contain(
            ["StageRack", "Desk48", "NetCard", "EarsHub", "NetInput16", "LineInput8", "PersonalMixer", "PlaybackPc", "Recorder64", "StageSplit", "Changeover"]);

    [Fact]
    public void Every_socket_s_format_comes_with_the_file()
    {
        var sockets = 0;
        foreach (var (path, tree, index) in Gear())
        {
            var inReach = FilesInReach(path).SelectMany(p => NamesIn(p, NodeKind.Format)).ToHashSet();
            foreach (var format in TextsOf(tree[index], NodeKind.Reference, below: [NodeKind.Socket, NodeKind.Port]))
            {
                inReach.Should().Contain(format, "{0} in {1} has a socket of it", NameOf(tree[index]), path);
                sockets++;
            }
        }
        sockets.Should().BeGreaterThan(100);
    }

    [Fact]
    public void Every_slot_has_a_card_that_fits()
    {
        var fitting = LibraryDeclarations.All(NodeKind.Card).Select(c => SlotKindOf(c.Tree[c.Index])).ToHashSet();
        foreach (var (_, tree, index) in Gear())
            foreach (var slot in TextsOf(tree[index], NodeKind.Slot, below: [NodeKind.GearSetting]))
                fitting.Should().Contain(slot[(slot.IndexOf(':') + 1)..].Trim());
    }

    // Whoever fits a card and forgets its clock must be told: the factory setting is to run free.
    [Fact]
    public void A_digital_card_runs_free_until_it_is_told_to_follow()
    {
        foreach (var (_, tree, index) in LibraryDeclarations.All(NodeKind.Card))
            foreach (var sources in TextsOf(tree[index], NodeKind.Sources, below: [NodeKind.ClockSetting]))
                sources.Should().StartWith("from internal, host", "{0} is a card", NameOf(tree[index]));
    }

    [Fact]
    public void Gear_with_a_digital_socket_has_a_clock()
    {
        var digital = LibraryDeclarations.Formats.Where(f => f.IsDigital).Select(f => f.Name).ToHashSet();
        foreach (var (_, tree, index) in Gear())
            if (TextsOf(tree[index], NodeKind.Reference, below: [NodeKind.Socket, NodeKind.Port]).Any(digital.Contains))
                TextsOf(tree[index], NodeKind.Clock, below: [NodeKind.GearSetting]).Should().NotBeEmpty("{0} makes or takes samples", NameOf(tree[index]));
    }

    // AES67-2018 clause 7.3 (secondary): every receiver takes streams of 1 to 8 channels, and every sender offers one such.
    // Clause 6.3 (secondary) and computed: 1440 bytes hold 10 channels of L24 at 48 kHz and 1 ms, so 8 fit.
    [Fact]
    public void A_port_on_aes67_sends_streams_that_every_receiver_takes()
    {
        var ports = 0;
        foreach (var (_, tree, index) in Gear())
        {
            foreach (var port in TextsOf(tree[index], NodeKind.Port, below: [NodeKind.GearSetting]).Where(p => p.Contains(": aes67") && p.Contains("streams")))
            {
                port.Should().Contain("block = 8", "{0} sends {1}", NameOf(tree[index]), port);
                ports++;
            }
        }
        ports.Should().BeGreaterThan(5);
    }

    private static IEnumerable<(string Path, SyntaxTree Tree, int Index)> Gear() => gearKinds.SelectMany(LibraryDeclarations.All);

    private static IEnumerable<string> Names(NodeKind[] kinds) => kinds.SelectMany(k => LibraryDeclarations.All(k)).Select(d => NameOf(d.Tree[d.Index]));

    private static IEnumerable<string> NamesIn(string path, NodeKind kind)
    {
        var tree = LibraryDeclarations.Tree(path);
        return Enumerable.Range(0, tree.Count).Where(i => tree[i].Kind == kind).Select(i => NameOf(tree[i]));
    }

    private static IEnumerable<string> UsedBy(string path)
    {
        var tree = LibraryDeclarations.Tree(path);
        for (var i = 0; i < tree.Count; i++)
            if (tree[i].Kind == NodeKind.Use) yield return tree[i].Text.ToString().Split('"')[1];
    }

    private static HashSet<string> FilesInReach(string path)
    {
        var reached = new HashSet<string> { path };
        var open = new Stack<string>([path]);
        while (open.TryPop(out var next))
            foreach (var used in UsedBy(next))
                if (reached.Add("library/" + used)) open.Push("library/" + used);
        return reached;
    }

    private static string NameOf(Statement statement) => FirstName(statement, 0);

    /// <summary>The kind of slot that a card fits: the second name of its statement.</summary>
    private static string SlotKindOf(Statement card) => FirstName(card, 1);

    private static string FirstName(Statement statement, int skipped)
    {
        using var reading = statement.Read();
        var declaration = reading.Root;
        while (declaration.Kind != statement.Kind) declaration = declaration.FirstChild;
        foreach (var name in declaration.ChildrenOf(NodeKind.Name))
            if (skipped-- == 0) return name.Text.ToString();
        throw new InvalidOperationException($"A {statement.Kind} without a name.");
    }

    /// <summary>The texts of all nodes of a kind whose parent is one of the given kinds.</summary>
    private static List<string> TextsOf(Statement statement, NodeKind kind, NodeKind[] below)
    {
        using var reading = statement.Read();
        var texts = new List<string>();
        Collect(reading.Root);
        return texts;

        void Collect(SyntaxNode node)
        {
            foreach (var child in node.Children)
            {
                if (child.Kind == kind && below.Contains(node.Kind)) texts.Add(child.Text.ToString());
                Collect(child);
            }
        }
    }
}
