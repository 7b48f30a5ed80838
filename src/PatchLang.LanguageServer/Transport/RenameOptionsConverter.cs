using System.Text.Json;
using System.Text.Json.Serialization;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Transport;

/// <summary>Writes just <c>true</c> if renaming can't be prepared: the protocol allows options only for clients that support preparing.</summary>
internal sealed class RenameOptionsConverter : JsonConverter<RenameOptions>
{
    public override RenameOptions Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => throw new NotSupportedException();

    public override void Write(Utf8JsonWriter writer, RenameOptions value, JsonSerializerOptions options)
    {
        if (!value.PrepareProvider)
        {
            writer.WriteBooleanValue(true);
            return;
        }
        writer.WriteStartObject();
        writer.WriteBoolean("prepareProvider", true);
        writer.WriteEndObject();
    }
}
