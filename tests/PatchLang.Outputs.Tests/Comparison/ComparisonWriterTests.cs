using System.Runtime.CompilerServices;
using System.Text.Json;
using System.Xml.Linq;
using FluentAssertions;
using NJsonSchema;
using PatchLang.Outputs.Comparison;
using PatchLang.Outputs.Comparison.Writers;
using Xunit;

namespace PatchLang.Outputs.Tests.Comparison;

/// <summary>The same comparison for a pull request, for a script, and on paper.</summary>
public sealed class ComparisonWriterTests
{
    private const string Hostile = "a|b `c` *d* _e_ <script>f</script> &amp; @crew #12 [g](h) ]]> ![i](j) \u05E9\u05DC\u05D5\u05DD \U0001F3B8";

    private static readonly ComparedPlans Plans = new(new ComparedPlan("monday.rig", s => s.Path), new ComparedPlan("tuesday.rig", s => s.Path));

    private static readonly PlanChanges Moved = Quay.Between(Quay.Rig, Quay.With(("rack.mic[1] -> desk.expansion.net[1]", "rack.mic[2] -> desk.expansion.net[1]"), ("rack.mic[9]", "rack.mic[31]")));

    private static readonly PlanChanges Odd = Quay.Between(Quay.Rig, Quay.With(("\"Fiddle\"", $"\"{Hostile}\""), ("\"spare pair\"", $"\"{Hostile}\"")));

    [Fact]
    public void Markdown_has_the_steps_with_boxes_to_tick() =>
        ComparisonMarkdown.Write(Moved, Plans).Should().Be("""
            ## What changes: Lantern Quay

            Changes: 2 sources are plugged otherwise, 2 routes, 2 phantom switches, one finding comes.

            From `monday.rig` to `tuesday.rig`.

            > **Note:** The new plan has an error: what could not be made out there is not compared.

            ### 1. Make it quiet

            > **Caution:** Earphones out or muted, and wedges muted, while anything is plugged, routed, clocked or switched. Bring every level up from the bottom. Local codes and licensed practice decide.

            - [ ] earphones out or muted, wedges and loudspeakers muted

            ### 2. Phantom power off

            > **Caution:** Phantom power off, and half a minute to drain, before a line is plugged or unplugged. It can harm outputs, ribbons and adapters.

            - [ ] rack.mic[1]: Fiddle (`quay.rig:28`)

            ### 3. Unplug

            - [ ] unplug rack.mic[1]: Fiddle (`quay.rig:28`)
            - [ ] unplug rack.mic[9]: Lead vocal *during bells* (`quay.rig:30`)

            ### 4. Plug

            - [ ] plug into rack.mic[2], from rack.mic[1]: Fiddle (`quay.rig:28`)
            - [ ] plug into rack.mic[31], from rack.mic[9]: Lead vocal *during bells* (`quay.rig:30`)

            ### 5. Routes

            - [ ] desk.expansion.net[1] takes rack.net[2] (it took rack.net[1]): Fiddle (`quay.rig:28`)
            - [ ] desk.expansion.net[5] takes rack.net[31] (it took rack.net[9]): Lead vocal *during bells* (`quay.rig:30`)

            ### 6. Phantom power on

            > **Caution:** Only when everything is plugged, and still muted.

            - [ ] rack.mic[2]: Fiddle (`quay.rig:28`)

            ### 7. Check, then unmute

            - [ ] listen from source to ear, with levels at the bottom: Fiddle, Lead vocal
            - [ ] unmute one by one, and bring levels up from the bottom

            ### Findings that come

            - error PL0901: rack.mic[31] is reserved during bells: spare pair (`quay.rig:30`)

            """);

    [Fact]
    public void No_name_becomes_markup_a_mention_or_a_link_in_markdown()
    {
        var text = ComparisonMarkdown.Write(Odd, Plans);

        text.Should().Contain("""a\|b \`c\` \*d\* \_e\_ &lt;script&gt;f&lt;/script&gt; &amp;amp; @<!-- -->crew #<!-- -->12 [g]\(h) ]]&gt; \![i]\(j)""");
        text.Should().NotContain("<script").And.NotContain("@crew");
    }

    [Theory]
    [InlineData("plain.rig", "`plain.rig`")]
    [InlineData("a`b``c", "``` a`b``c ```")]
    [InlineData("a\nb", "`a b`")]
    public void Code_has_a_fence_that_its_text_has_not(string text, string code) => ComparisonMarkdown.Code(text).Should().Be(code);

    [Fact]
    public void The_page_is_well_formed_stands_alone_and_needs_no_script()
    {
        var html = ComparisonHtml.Write(Odd, Plans);
        var page = XDocument.Parse(html);
        var names = page.Descendants().Select(e => e.Name.LocalName).ToList();

        page.Root!.Value.Should().Contain(Hostile);
        names.Should().NotContain("script").And.NotContain("link").And.NotContain("img");
        html.Replace("http://www.w3.org/1999/xhtml", "", StringComparison.Ordinal).Replace("http://www.w3.org/2000/svg", "", StringComparison.Ordinal).Should().NotContain("http", because: "nothing is fetched, and a name space is no link");
        page.Descendants().Where(e => e.Attribute("id") is not null).Select(e => e.Attribute("id")!.Value).Should().OnlyHaveUniqueItems();
    }

    [Fact]
    public void The_page_has_the_rig_with_what_changes_marked_at_its_end()
    {
        var page = XDocument.Parse(ComparisonHtml.Write(Moved, Plans));
        var picture = page.Descendants().Single(e => e.Name.LocalName == "svg");

        picture.Descendants().Attributes("data-change").Should().NotBeEmpty();
        page.Descendants().Last(e => e.Name.LocalName == "section").Descendants().Should().Contain(picture);
        XDocument.Parse(ComparisonHtml.Write(Quay.Between(Quay.Rig, Quay.Rig), Plans)).Descendants().Should().NotContain(e => e.Name.LocalName == "svg");
    }

    [Fact]
    public void The_page_says_what_the_report_says()
    {
        var report = ChangeReport.Of(Moved);
        var page = XDocument.Parse(ComparisonHtml.Write(Moved, Plans)).Root!.Value;

        foreach (var section in report.Sections)
        {
            page.Should().Contain(section.Title);
            foreach (var line in section.Lines) page.Should().Contain(line.Text);
        }
    }

    [Fact]
    public async Task Json_is_as_its_schema_says()
    {
        var schema = await JsonSchema.FromFileAsync(PathOf("src/PatchLang.Outputs/Comparison/Writers/comparison.schema.json"));

        foreach (var changes in new[] { Moved, Odd, Quay.Between(Quay.Rig, Quay.Rig) }) schema.Validate(ComparisonJson.Write(changes, Plans)).Should().BeEmpty();
        schema.Definitions["change"].Properties["kind"].Enumeration.Should().BeEquivalentTo(Enum.GetNames<ChangeKind>().Select(JsonNamingPolicy.CamelCase.ConvertName));
    }

    [Fact]
    public void Json_has_each_change_with_its_places_and_names_as_they_are()
    {
        using var document = JsonDocument.Parse(ComparisonJson.Write(Odd, Plans));
        var label = document.RootElement.GetProperty("changes").EnumerateArray().First(c => c.GetProperty("kind").GetString() == "label");

        label.GetProperty("was").GetString().Should().Be("Fiddle");
        label.GetProperty("now").GetString().Should().Be(Hostile);
        label.GetProperty("new").GetProperty("line").GetInt32().Should().Be(28);
        document.RootElement.GetProperty("same").GetBoolean().Should().BeFalse();
    }

    [Fact]
    public void Nothing_is_said_to_be_nothing()
    {
        var none = Quay.Between(Quay.Rig, Quay.Rig);

        ComparisonMarkdown.Write(none, Plans).Should().Be("## What changes: Lantern Quay\n\nNothing changes.\n\nFrom `monday.rig` to `tuesday.rig`.\n");
        ComparisonJson.Write(none, Plans).Should().Contain("\"same\": true");
    }

    private static string PathOf(string path, [CallerFilePath] string thisFile = "") => Path.Combine(Path.GetDirectoryName(thisFile)!, "../../..", path);
}
